import type { Deps } from './deps.ts'
import { inBatches } from './in-batches.ts'
import type { Gateway, Lane, SubmitAnswer } from './ports.ts'
import { arriveInPractice, practiceDistricts } from './practice.ts'
import { settleSubmissions } from './settle-submissions.ts'
import type { Submission, SubmittedText } from './settle-submissions.ts'

/** Answers that come within this time are stored together. */
const TOGETHER = { atMost: 100, withinMs: 5 }
/** Pause before an answer is stored again after the database was away. */
const AGAIN_MS = 250
/** Longest that the database is waited for; after it, the lease is over and the text is in doubt. */
const PATIENCE_MS = 10_000

/**
 * A way to hand texts to the gateway and store what became of them. Each text is stored as being sent before it is
 * submitted, so that a crash at any point leaves a row that says so. This is the one way out: texts of a training
 * district turn back here.
 */
export function openSubmissions(
  deps: Deps,
  gateway: Gateway,
  lane: Lane,
): (text: SubmittedText) => Promise<SubmitAnswer['kind']> {
  const settle = inBatches<Submission>(
    (answers) =>
      stubbornly(() =>
        deps.database.transaction((tx) =>
          settleSubmissions(tx, deps, { gateway: gateway.name, lane, answers }),
        ),
      ),
    TOGETHER,
  )
  const practising = practiceDistricts(deps)
  return async (text) => {
    if (text.districtId !== null && (await practising()).has(text.districtId)) {
      await arriveInPractice(deps, text.id)
      return 'accepted'
    }
    const { id, number, body, usefulUntil, leaveBefore, isUrgent } = text
    const answer = await gateway.submit({
      id,
      to: number,
      body,
      validUntil: usefulUntil,
      leaveBefore,
      urgent: isUrgent,
    })
    await settle({ text, answer })
    return answer.kind
  }
}

/** What the gateway answered must not be forgotten because the database is away for a moment. */
async function stubbornly(work: () => Promise<void>): Promise<void> {
  const until = performance.now() + PATIENCE_MS
  for (;;) {
    try {
      await work()
      return
    } catch (error) {
      if (performance.now() > until) throw error
    }
    await new Promise((resolve) => setTimeout(resolve, AGAIN_MS))
  }
}
