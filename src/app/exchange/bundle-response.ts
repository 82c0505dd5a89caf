import { issueType, outcomeResource } from '../../core/exchange/outcome.ts'
import { withoutEmpty } from '../../core/exchange/resource.ts'
import type { Resource } from '../../core/exchange/resource.ts'
import { REFUSALS } from '../../core/refusals.ts'
import type { Refusal } from '../../core/refusals.ts'
import type { Taken } from './scope.ts'

/** What became of one entry of a Bundle. */
export type Answer =
  | { readonly kind: 'taken'; readonly type: string; readonly taken: Taken }
  | { readonly kind: 'refused'; readonly refusal: Refusal }

const STATUS: Readonly<Record<Taken['kind'], string>> = {
  created: '201 Created',
  known: '200 OK',
  'kept-aside': '202 Accepted',
}

/** The answer to a Bundle: one entry for each of its own, in the same order. */
export function bundleResponse(type: string, answers: readonly Answer[]): Resource {
  return withoutEmpty({
    resourceType: 'Bundle',
    type: `${type}-response`,
    entry: answers.map((answer) => ({
      response: answer.kind === 'refused' ? refusedEntry(answer.refusal) : takenEntry(answer),
    })),
  })
}

function takenEntry({ type, taken: { kind, id, remark } }: Extract<Answer, { kind: 'taken' }>) {
  return withoutEmpty({
    status: STATUS[kind],
    location: id === null ? undefined : `${type}/${id}`,
    outcome:
      remark === null
        ? undefined
        : outcomeResource([
            { severity: kind === 'kept-aside' ? 'warning' : 'information', type: 'informational', ...remark },
          ]),
  })
}

function refusedEntry({ code, detail }: Refusal) {
  const { status, title } = REFUSALS[code]
  return {
    status: `${status} ${title}`,
    outcome: outcomeResource([{ severity: 'error', type: issueType(status), code, detail }]),
  }
}
