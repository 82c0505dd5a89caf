import type { PhraseSpec } from './placeholders.ts'

/** Lines of USSD screens; a whole screen is measured by the menu, so `parts` only bounds a single line. */
export const SCREEN_PHRASES = {} as const satisfies Record<string, PhraseSpec>
