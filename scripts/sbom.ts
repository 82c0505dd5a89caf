/** Prints what the service is made of as CycloneDX JSON: `npm run -s sbom > sbom.json`. From the lock file, so that nothing has to be installed. */
import { execFileSync } from 'node:child_process'
import { readFileSync } from 'node:fs'
import { z } from 'zod'

const document = z.looseObject({
  metadata: z.looseObject({ component: z.looseObject({ name: z.string(), 'bom-ref': z.string() }) }),
  components: z.array(z.looseObject({ 'bom-ref': z.string() })),
  dependencies: z.array(z.object({ ref: z.string(), dependsOn: z.array(z.string()) })),
})
const lockFile = z.object({
  packages: z.record(
    z.string(),
    z.object({
      version: z.string(),
      dev: z.boolean().default(false),
      devOptional: z.boolean().default(false),
    }),
  ),
})

const ASKED = ['sbom', '--package-lock-only', '--sbom-format', 'cyclonedx', '--sbom-type', 'application']
const MOST_BYTES = 64 * 1024 * 1024

/** What runs, as the lock file says it: `--omit dev` of npm loses packages that development needs too. */
function running(): Set<string> {
  const { packages } = lockFile.parse(JSON.parse(readFileSync('package-lock.json', 'utf8')))
  const kept = Object.entries(packages).filter(([, { dev, devOptional }]) => !dev && !devOptional)
  return new Set(kept.map(([path, { version }]) => `${path.split('node_modules/').at(-1) ?? ''}@${version}`))
}

const made = document.parse(
  JSON.parse(execFileSync('npm', ASKED, { encoding: 'utf8', maxBuffer: MOST_BYTES })),
)
const own = made.metadata.component
const kept = running().add(own['bom-ref'])
// npm names a package that is not published after its folder.
own.name = 'duebell'
made.components = made.components.filter((each) => kept.has(each['bom-ref']))
made.dependencies = made.dependencies
  .filter(({ ref }) => kept.has(ref))
  .map(({ ref, dependsOn }) => ({ ref, dependsOn: dependsOn.filter((each) => kept.has(each)) }))
process.stdout.write(`${JSON.stringify(made, null, 2)}\n`)
