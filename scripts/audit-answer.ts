import { z } from 'zod'

const SEVERITIES = ['critical', 'high', 'moderate', 'low'] as const

const answered = z.object({
  vulnerabilities: z.record(z.string(), z.object({ severity: z.string(), range: z.string() })),
})
const unanswered = z.object({ message: z.string() })

/** What `npm audit` came to: 0 nothing known, 1 faults known, 2 not looked at. */
export interface ScanResult {
  readonly exitCode: 0 | 1 | 2
  readonly text: string
}

/** Reads what `npm audit --json` printed. Anything but an answer of the registry is never taken for "no faults". */
export function readAudit(json: string): ScanResult {
  const report = answered.safeParse(parsed(json))
  if (!report.success) {
    const { data } = unanswered.safeParse(parsed(json))
    const why = data?.message.split(' - ')[0] ?? 'no answer'
    return {
      exitCode: 2,
      text: `Not scanned: the package registry here answers no audit (${why}). Run this where it does.`,
    }
  }
  const found = Object.entries(report.data.vulnerabilities)
  if (found.length === 0) return { exitCode: 0, text: 'No package of the service has a known fault.' }
  const lines = SEVERITIES.flatMap((severity) =>
    found
      .filter(([, each]) => each.severity === severity)
      .map(([name, { range }]) => `${severity.padEnd(9)}${name} ${range}`),
  )
  return {
    exitCode: 1,
    text: [...lines, `${found.length} packages with known faults; docs/security.md says by when.`].join('\n'),
  }
}

function parsed(json: string): unknown {
  try {
    return JSON.parse(json)
  } catch {
    return null
  }
}
