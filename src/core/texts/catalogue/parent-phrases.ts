import type { PhraseSpec } from './placeholders.ts'

const REMINDER = {
  kind: 'reminder',
  parts: 1,
  takes: ['post', 'child', 'count', 'day', 'place', 'stopWord'],
} as const satisfies PhraseSpec

/** Texts to parents: reminders, consent, what follows a vaccine, and answers to their questions. */
export const PARENT_PHRASES = {
  'reminder-ahead': REMINDER,
  'reminder-eve': REMINDER,
  'reminder-missed-1': REMINDER,
  'reminder-missed-2': REMINDER,
  'reminder-session-moved': REMINDER,
  'reminder-called-off': {
    kind: 'reminder',
    parts: 1,
    takes: ['post', 'child', 'count', 'day', 'stopWord'],
  },

  welcome: {
    kind: 'consent',
    parts: 1,
    takes: ['post', 'child', 'count', 'whenWord', 'laterWord', 'stopWord'],
  },
  'welcome-ask': { kind: 'consent', parts: 1, takes: ['post', 'child', 'count', 'startWord', 'stopWord'] },
  stopped: { kind: 'consent', parts: 1, takes: ['whenWord', 'startWord'] },
  started: { kind: 'consent', parts: 1, takes: ['stopWord'] },
  'language-set': { kind: 'consent', parts: 1, takes: [] },

  'aftercare-opening': { kind: 'aftercare', parts: 1, takes: ['post', 'child', 'count'] },
  'aftercare-injection': { kind: 'aftercare', parts: 1, takes: [] },
  'aftercare-bump': { kind: 'aftercare', parts: 1, takes: [] },
  'aftercare-sore': { kind: 'aftercare', parts: 1, takes: [] },
  'aftercare-drops': { kind: 'aftercare', parts: 1, takes: [] },
  'aftercare-closing': { kind: 'aftercare', parts: 1, takes: [] },
  'aftercare-urgent': { kind: 'aftercare', parts: 1, takes: [] },
  'aftercare-next': { kind: 'aftercare', parts: 1, takes: ['day', 'place'] },
  'aftercare-last': { kind: 'aftercare', parts: 1, takes: [] },

  'next-date': { kind: 'reply', parts: 1, takes: ['child', 'count', 'day', 'place'] },
  'next-date-several': { kind: 'reply', parts: 1, takes: [] },
  'next-date-line': { kind: 'reply', parts: 1, takes: ['child', 'day', 'place'] },
  'group-frame': { kind: 'notice', parts: 1, takes: ['post', 'words', 'stopWord'] },
  'calendar-session': { kind: 'reply', parts: 1, takes: ['place'] },
  'calendar-visit': { kind: 'reply', parts: 1, takes: ['child'] },
  'next-date-none': { kind: 'reply', parts: 1, takes: ['post'] },
  moved: { kind: 'reply', parts: 1, takes: ['child', 'count', 'day', 'place'] },
  'move-too-late': { kind: 'reply', parts: 1, takes: ['child', 'count', 'day', 'place'] },
  'passed-on': { kind: 'reply', parts: 1, takes: ['post'] },
  'passed-on-urgent': { kind: 'reply', parts: 1, takes: ['post'] },
  'reaction-go-now': { kind: 'notice', parts: 1, takes: ['post', 'child'] },
  recall: { kind: 'notice', parts: 1, takes: ['post', 'count', 'child', 'place'] },
} as const satisfies Record<string, PhraseSpec>
