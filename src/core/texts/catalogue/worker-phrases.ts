import type { PhraseSpec } from './placeholders.ts'

/** A few words that stand in another phrase. */
const REASON = { kind: 'reason', parts: 1, takes: [] } as const satisfies PhraseSpec

/** Texts to vaccinators and managers: answers, warnings, help. */
export const WORKER_PHRASES = {
  'doses-recorded': { kind: 'reply', parts: 1, takes: ['card', 'child', 'doses', 'on', 'next'] },
  'doses-recorded-last': { kind: 'reply', parts: 1, takes: ['card', 'child', 'doses', 'on'] },
  'dose-uncounted': { kind: 'reply', parts: 1, takes: ['dose', 'reason'] },
  'dose-again': { kind: 'reply', parts: 1, takes: ['dose', 'on'] },
  'dose-number-differs': { kind: 'reply', parts: 1, takes: ['typed', 'dose'] },
  'doses-recorded-open': { kind: 'reply', parts: 1, takes: ['card', 'child', 'doses', 'on'] },
  'nothing-due': { kind: 'reply', parts: 1, takes: [] },
  'already-recorded': { kind: 'reply', parts: 1, takes: ['card', 'child', 'doses', 'on'] },
  repeated: { kind: 'reply', parts: 1, takes: [] },

  'reason-too-young': REASON,
  'reason-too-soon': REASON,
  'reason-live-conflict': REASON,
  'reason-too-old': REASON,
  'reason-repeat-same-day': REASON,
  'reason-before-birth': REASON,
  'reason-future': REASON,
  'reason-surplus': REASON,
  'reason-not-counted': REASON,

  enrolled: { kind: 'reply', parts: 1, takes: ['child', 'card', 'next'] },
  'enrolled-last': { kind: 'reply', parts: 1, takes: ['child', 'card'] },
  baby: { kind: 'reply', parts: 1, takes: [] },
  'card-is': { kind: 'reply', parts: 1, takes: ['card', 'child', 'birth', 'village'] },
  'card-had': { kind: 'reply', parts: 1, takes: ['doses'] },
  'card-had-none': { kind: 'reply', parts: 1, takes: [] },
  'card-due': { kind: 'reply', parts: 1, takes: ['doses', 'day'] },
  'card-from': { kind: 'reply', parts: 1, takes: ['dose', 'day'] },
  'card-finished': { kind: 'reply', parts: 1, takes: [] },
  'card-closed': { kind: 'reply', parts: 1, takes: [] },

  'rename-ask': { kind: 'reply', parts: 1, takes: ['card', 'child', 'word', 'yesWord'] },
  renamed: { kind: 'reply', parts: 1, takes: ['card', 'child'] },
  'double-noted': { kind: 'reply', parts: 1, takes: ['card'] },

  'visit-noted': { kind: 'reply', parts: 1, takes: ['card', 'child', 'what'] },
  'outcome-active': REASON,
  'outcome-moved': REASON,
  'outcome-died': REASON,
  'outcome-refused': REASON,
  'outcome-lost': REASON,
  'outcome-away': REASON,
  'not-given-noted': { kind: 'reply', parts: 1, takes: ['card', 'child', 'doses', 'reason'] },
  'cause-refused': REASON,
  'cause-ill': REASON,
  'cause-out-of-stock': REASON,
  'cause-contraindicated': REASON,
  'cause-no-session': REASON,
  'cause-too-far': REASON,
  'cause-no-time': REASON,
  'cause-not-told': REASON,
  'cause-fear': REASON,

  'due-list': { kind: 'reply', parts: 1, takes: ['place', 'day', 'count'] },
  'due-none': { kind: 'reply', parts: 1, takes: ['place', 'day'] },
  'list-line': { kind: 'reply', parts: 1, takes: ['card', 'child', 'doses'] },
  'list-more': { kind: 'reply', parts: 1, takes: ['count', 'moreWord'] },
  'list-end': { kind: 'reply', parts: 1, takes: [] },

  undone: { kind: 'reply', parts: 1, takes: ['what'] },
  'undo-nothing': { kind: 'reply', parts: 1, takes: [] },
  'undo-too-old': { kind: 'reply', parts: 1, takes: ['what'] },

  'vial-opened': { kind: 'reply', parts: 1, takes: ['vial', 'vaccine', 'until'] },
  'vial-discarded': { kind: 'reply', parts: 1, takes: ['vial', 'vaccine'] },
  'vial-expiring': { kind: 'notice', parts: 1, takes: ['vial', 'vaccine', 'until', 'discardWord'] },

  'vial-past': { kind: 'notice', parts: 1, takes: ['vial', 'vaccine'] },
  carry: { kind: 'notice', parts: 1, takes: ['place', 'day', 'what'] },
  'stock-noted': { kind: 'reply', parts: 1, takes: ['what'] },
  'temperature-noted': { kind: 'reply', parts: 1, takes: ['degrees'] },
  'temperature-low': { kind: 'reply', parts: 1, takes: ['degrees'] },
  'temperature-high': { kind: 'reply', parts: 1, takes: ['degrees'] },

  'reaction-noted': { kind: 'reply', parts: 1, takes: ['card', 'child'] },
  'reaction-serious': { kind: 'reply', parts: 1, takes: ['card', 'child'] },
  'reaction-alert': { kind: 'notice', parts: 1, takes: ['card', 'village', 'words', 'seenWord'] },
  acknowledged: { kind: 'reply', parts: 1, takes: [] },
  'sign-in-code': { kind: 'notice', parts: 1, takes: ['code'] },

  'coverage-is': { kind: 'reply', parts: 1, takes: ['place', 'period'] },
  'coverage-line': { kind: 'reply', parts: 1, takes: ['dose', 'percent', 'reached', 'target'] },
  'coverage-none': { kind: 'reply', parts: 1, takes: ['place'] },
  'missed-list': { kind: 'reply', parts: 1, takes: ['place', 'count'] },
  'missed-none': { kind: 'reply', parts: 1, takes: ['place'] },
} as const satisfies Record<string, PhraseSpec>
