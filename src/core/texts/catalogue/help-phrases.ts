import type { PhraseSpec } from './placeholders.ts'

/** What to ask before a vaccine (src/data/reactions/cautions.json); it decides nothing. */
const CAUTION = { kind: 'reason', parts: 1, takes: [] } as const satisfies PhraseSpec

/** Answers to HELP: what one may send, and short technique cards. */
export const HELP_PHRASES = {
  'help-parent': {
    kind: 'help',
    parts: 1,
    takes: ['whenWord', 'laterWord', 'stopWord', 'startWord'],
  },
  'help-vaccinator': {
    kind: 'help',
    parts: 2,
    takes: [
      'gaveWord',
      'newWord',
      'dueWord',
      'cardWord',
      'openedWord',
      'discardWord',
      'reactionWord',
      'undoWord',
      'visitWord',
      'notGivenWord',
      'temperatureWord',
      'stockWord',
      'doubleWord',
      'nameWord',
      'helpWord',
    ],
  },
  'help-manager': { kind: 'help', parts: 1, takes: ['coverWord', 'missedWord', 'seenWord', 'doubleWord'] },
  'help-topics': {
    kind: 'help',
    parts: 1,
    takes: ['helpWord', 'vialTopic', 'coldTopic', 'afterTopic', 'reactionTopic'],
  },

  'help-gave': { kind: 'help', parts: 1, takes: ['gaveWord', 'allWord'] },
  'help-new': { kind: 'help', parts: 1, takes: ['newWord'] },
  'help-due': { kind: 'help', parts: 1, takes: ['dueWord'] },
  'help-card': { kind: 'help', parts: 1, takes: ['cardWord'] },
  'help-opened': { kind: 'help', parts: 1, takes: ['openedWord'] },
  'help-discard': { kind: 'help', parts: 1, takes: ['discardWord'] },
  'help-visit': { kind: 'help', parts: 1, takes: ['visitWord'] },
  'help-not-given': { kind: 'help', parts: 1, takes: ['notGivenWord'] },
  'help-temperature': { kind: 'help', parts: 1, takes: ['temperatureWord'] },
  'help-stock': { kind: 'help', parts: 1, takes: ['stockWord', 'takenOutWord', 'broughtBackWord'] },
  'help-double': { kind: 'help', parts: 1, takes: ['doubleWord'] },
  'help-name': { kind: 'help', parts: 1, takes: ['nameWord'] },
  'help-undo': { kind: 'help', parts: 1, takes: ['undoWord'] },
  'help-cover': { kind: 'help', parts: 1, takes: ['coverWord'] },
  'help-missed': { kind: 'help', parts: 1, takes: ['missedWord'] },

  'job-aid-fipv': { kind: 'job-aid', parts: 3, takes: [] },
  'job-aid-vial': { kind: 'job-aid', parts: 3, takes: [] },
  'job-aid-cold': { kind: 'job-aid', parts: 3, takes: [] },
  'job-aid-after': { kind: 'job-aid', parts: 3, takes: [] },
  'job-aid-reaction': { kind: 'job-aid', parts: 3, takes: ['reactionWord'] },

  'ask-before': { kind: 'job-aid', parts: 3, takes: ['vaccine', 'what'] },
  'ask-severe-allergy-before': CAUTION,
  'ask-severely-ill-today': CAUTION,
  'ask-known-hiv': CAUTION,
  'ask-severe-immune-weakness': CAUTION,
  'ask-fits-or-collapse-after-last-dose': CAUTION,
  'ask-bowel-blockage-before': CAUTION,
  'ask-under-6-months': CAUTION,
  'ask-severe-egg-allergy': CAUTION,
} as const satisfies Record<string, PhraseSpec>
