import type { PhraseSpec } from './placeholders.ts'

/**
 * Why a text could not be taken. `sayError` adds what was understood and what to send, so that each phrase here
 * says only what is wrong; the budget is that of the whole reply.
 */
export const ERROR_PHRASES = {
  'error-card-missing': { kind: 'error', parts: 1, takes: [] },
  'error-card-length': { kind: 'error', parts: 1, takes: ['word'] },
  'error-card-check-digit': { kind: 'error', parts: 1, takes: ['word'] },
  'error-vaccine-missing': { kind: 'error', parts: 1, takes: [] },
  'error-vaccine-unknown': { kind: 'error', parts: 1, takes: ['word'] },
  'error-vaccine-unclear': { kind: 'error', parts: 1, takes: ['word'] },
  'error-date-missing': { kind: 'error', parts: 1, takes: [] },
  'error-date-future': { kind: 'error', parts: 1, takes: ['word'] },
  'error-date-impossible': { kind: 'error', parts: 1, takes: ['word'] },
  'error-date-unclear': { kind: 'error', parts: 1, takes: ['word'] },
  'error-birth-date-missing': { kind: 'error', parts: 1, takes: [] },
  'error-sex-missing': { kind: 'error', parts: 1, takes: [] },
  'error-village-missing': { kind: 'error', parts: 1, takes: [] },
  'error-village-unknown': { kind: 'error', parts: 1, takes: ['word'] },
  'error-phone-missing': { kind: 'error', parts: 1, takes: [] },
  'error-phone-impossible': { kind: 'error', parts: 1, takes: ['word'] },
  'error-name-missing': { kind: 'error', parts: 1, takes: [] },
  'error-lot-missing': { kind: 'error', parts: 1, takes: [] },
  'error-expiry-missing': { kind: 'error', parts: 1, takes: [] },
  'error-expiry-impossible': { kind: 'error', parts: 1, takes: ['word'] },
  'error-vial-missing': { kind: 'error', parts: 1, takes: [] },
  'error-vial-unknown': { kind: 'error', parts: 1, takes: ['word'] },
  'error-words-missing': { kind: 'error', parts: 1, takes: [] },
  'error-keyword-unclear': { kind: 'error', parts: 1, takes: ['word'] },
  'error-role-not-allowed': { kind: 'error', parts: 1, takes: ['word'] },
  'error-not-understood': { kind: 'error', parts: 1, takes: [] },
  'error-empty': { kind: 'error', parts: 1, takes: [] },
  'error-child-not-found': { kind: 'error', parts: 1, takes: ['word'] },
  'error-child-may-exist': { kind: 'error', parts: 1, takes: ['word'] },
  'error-dose-before-birth': { kind: 'error', parts: 1, takes: ['word'] },
  'error-unknown-sender': { kind: 'error', parts: 1, takes: [] },
  understood: { kind: 'reply', parts: 1, takes: ['understood'] },
  'to-send': { kind: 'reply', parts: 1, takes: ['example'] },
} as const satisfies Record<string, PhraseSpec>
