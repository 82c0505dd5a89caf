import { z } from 'zod'
import { endDecision, noteDecision } from '../../app/clinical-notes.ts'
import type { ChildStory } from '../../app/pages/child-story.ts'
import { changeOwnChild } from '../../app/pages/own-child.ts'
import { risksAskedBy } from '../../core/schedule/own-plan.ts'
import { mustParseDay } from '../../core/days/day.ts'
import type { ClinicalNote } from '../../app/views.ts'
import { proven } from './guard.ts'
import { html } from './html.ts'
import type { Markup } from './html.ts'
import { formToken, pathIn } from './layout.ts'
import type { Visit } from './visit.ts'
import { dayText } from './words.ts'

/** What clinicians decided for one child: shown, written down, ended. */

/** The decisions, and a form for one more where there are vaccines to come or risks that the schedule asks for. */
export function decisionsOfChild(visit: Visit, story: ChildStory): Markup {
  const { child, decisions, forecast, schedule } = story
  const risks = [...risksAskedBy(schedule)]
  const vaccines = [...new Set(forecast.next.map(({ vaccine }) => vaccine))]
  return html`<h2>Decided by a clinician</h2>
    ${
      decisions.length === 0
        ? html`<p>Nothing beside the schedule.</p>`
        : html`<ul>
            ${decisions.map((note) => html`<li>${noteLine(visit, note)} ${endForm(visit, note)}</li>`)}
          </ul>`
    }
    ${vaccines.length === 0 ? null : putOffForm(visit, child.id, vaccines)}
    ${risks.length === 0 ? null : riskForm(visit, child.id, risks)}`
}

function noteLine({ scope }: Visit, note: ClinicalNote): string {
  const { decision, reason, decidedBy, notedOn, endedOn } = note
  const what =
    decision.kind === 'risk'
      ? `Risk: ${decision.risk}`
      : `${decision.vaccine} not before ${dayText(scope.district, decision.until)}`
  const end = endedOn === null ? '' : `; ended ${dayText(scope.district, endedOn)}`
  return `${what}: ${reason} (${decidedBy}, ${dayText(scope.district, notedOn)}${end})`
}

function endForm(visit: Visit, { id, childId, endedOn }: ClinicalNote): Markup | null {
  if (endedOn !== null) return null
  const action = pathIn(visit.scope.district.id, `/children/${childId}/decisions/${id}/end`)
  return html`<form method="post" action="${action}" class="screen-only">
    ${formToken(visit)}<button class="quiet">End it</button>
  </form>`
}

function putOffForm(visit: Visit, childId: string, vaccines: readonly string[]): Markup {
  return decisionForm(
    visit,
    childId,
    'Put a vaccine off, as a clinician decided',
    html`${choice('vaccine', 'Vaccine', vaccines)}
      <input name="until" type="date" required aria-label="Not before" />`,
  )
}

function riskForm(visit: Visit, childId: string, risks: readonly string[]): Markup {
  return decisionForm(
    visit,
    childId,
    'Write down a risk, as a clinician found',
    choice('risk', 'Risk', risks),
  )
}

function choice(name: string, label: string, options: readonly string[]): Markup {
  return html`<select name="${name}" aria-label="${label}">
    ${options.map((option) => html`<option>${option}</option>`)}
  </select>`
}

/** `what`: the fields that say what was decided. */
function decisionForm(visit: Visit, childId: string, summary: string, what: Markup): Markup {
  return html`<details class="screen-only">
    <summary>${summary}</summary>
    <form method="post" action="${pathIn(visit.scope.district.id, `/children/${childId}/decisions`)}">
      ${formToken(visit)} ${what}
      <input name="reason" maxlength="300" required placeholder="why" aria-label="Why" />
      <input
        name="decidedBy"
        maxlength="120"
        required
        placeholder="which clinician"
        aria-label="Which clinician"
      />
      <button>Save</button>
    </form>
  </details>`
}

const reasonFields = {
  reason: z.string().trim().min(1).max(300),
  decidedBy: z.string().trim().min(1).max(120),
}
const putOffFields = z
  .object({
    vaccine: z.string().max(20),
    until: z.iso.date('Choose a day.').transform(mustParseDay),
    ...reasonFields,
  })
  .transform(({ vaccine, until, ...why }) => ({
    ...why,
    decision: { kind: 'put-off', vaccine, until } as const,
  }))
const riskFields = z
  .object({ risk: z.string().max(40), ...reasonFields })
  .transform(({ risk, ...why }) => ({ ...why, decision: { kind: 'risk', risk } as const }))
const isRisk = z.object({ risk: z.string() })

/** Keeps the decision that was sent; answers the page to show then. */
export async function decisionFrom({ scope, visitor, params }: Visit, sent: unknown): Promise<string> {
  const childId = params['childId'] ?? ''
  const given = isRisk.safeParse(sent).success ? proven(riskFields, sent) : proven(putOffFields, sent)
  await changeOwnChild(scope, childId, (tx) =>
    noteDecision(tx, scope.deps, { childId, ...given, by: visitor.holderId }),
  )
  return pathIn(scope.district.id, `/children/${childId}`)
}

/** Ends a decision; answers the page to show then. */
export async function endDecisionOf({ scope, visitor, params }: Visit): Promise<string> {
  const { childId = '', noteId = '' } = params
  await changeOwnChild(scope, childId, (tx) =>
    endDecision(tx, scope.deps, { childId, noteId, by: visitor.holderId }),
  )
  return pathIn(scope.district.id, `/children/${childId}`)
}
