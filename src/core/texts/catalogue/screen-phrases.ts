import type { PhraseSpec } from './placeholders.ts'

const LINE = { kind: 'screen', parts: 1, takes: [] } as const satisfies PhraseSpec

/** Stands above or below other words on every screen. */
const FRAME = { ...LINE, septets: 24 } as const satisfies PhraseSpec

/**
 * Lines of USSD screens: questions, and what stands behind a key. A whole screen is measured by the menu, so `parts`
 * only bounds a single line.
 */
export const SCREEN_PHRASES = {
  'screen-back': FRAME,
  'screen-home': FRAME,
  'screen-more': FRAME,
  'screen-end': FRAME,
  'screen-wrong-key': FRAME,
  'screen-save': LINE,
  'screen-agree': LINE,
  'screen-go-on': LINE,
  'screen-anew': LINE,
  'screen-resume': LINE,
  'screen-goodbye': LINE,
  'screen-over': LINE,
  'screen-trouble': LINE,

  'screen-record': LINE,
  'screen-due': LINE,
  'screen-enrol': LINE,
  'screen-undo': LINE,
  'screen-technique': LINE,
  'screen-own-children': LINE,

  'screen-ask-card': LINE,
  'screen-next-card': LINE,
  'screen-child': { kind: 'screen', parts: 1, takes: ['card', 'child', 'birth'] },
  'screen-ask-vaccines': LINE,
  'screen-none-due': LINE,
  'screen-all': LINE,
  'screen-other': LINE,
  'screen-doses': { kind: 'screen', parts: 1, takes: ['doses', 'on'] },
  'screen-uncounted': { kind: 'screen', parts: 1, takes: ['dose', 'reason'] },
  'screen-on-record': { kind: 'screen', parts: 1, takes: ['doses'] },
  'screen-other-day': LINE,
  'screen-ask-day': { kind: 'screen', parts: 1, takes: ['first'] },

  'screen-ask-village': LINE,
  'screen-ask-birth': { kind: 'screen', parts: 1, takes: ['first'] },
  'screen-ask-sex': LINE,
  'screen-girl': LINE,
  'screen-boy': LINE,
  'screen-ask-phone': LINE,
  'screen-no-phone': LINE,
  'screen-ask-name': LINE,
  'screen-no-name': LINE,
  /** What a child is called that has no name yet. */
  'screen-baby': LINE,
  'screen-alike': LINE,
  'screen-another-child': LINE,

  'screen-ask-undo': { kind: 'screen', parts: 1, takes: ['what'] },

  'screen-technique-fipv': LINE,
  'screen-technique-vial': LINE,
  'screen-technique-cold': LINE,
  'screen-technique-after': LINE,
  'screen-technique-reaction': LINE,

  'screen-move': LINE,
  'screen-after': LINE,
  'screen-language': LINE,
  'screen-stop': LINE,
  'screen-start': LINE,
  'screen-ask-visit': LINE,
  'screen-ask-move': { kind: 'screen', parts: 1, takes: ['child', 'day', 'next'] },
  'screen-ask-stop': LINE,
  'screen-ask-start': LINE,

  'screen-coverage': LINE,
  'screen-missed': LINE,
  'screen-district': LINE,
} as const satisfies Record<string, PhraseSpec>
