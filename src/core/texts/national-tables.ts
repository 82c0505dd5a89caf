/**
 * National language tables of 3GPP TS 23.038 Annex A, for the languages of the phrase books that have one. A code
 * written as a space is reserved, except 0x20. Few networks carry them: a route uses them only where it was tried out.
 */
export type NationalLanguage = 'turkish' | 'spanish' | 'portuguese' | 'hindi'

export interface NationalTables {
  /** National language identifier (TS 23.038 §6.2.1.2.4). */
  readonly identifier: number
  /** Replaces the default alphabet: 128 characters; `null` where the standard has none. */
  readonly locking: string | null
  /** What an escape leads to, besides the default extension table. */
  readonly single: Readonly<Record<number, string>>
}

/** Consecutive codes from `first` on. */
function run(first: number, characters: string): Readonly<Record<number, string>> {
  return Object.fromEntries(Array.from(characters, (character, index) => [first + index, character]))
}

export const NATIONAL_TABLES: Readonly<Record<NationalLanguage, NationalTables>> = {
  turkish: {
    identifier: 1,
    locking:
      '@£$¥€éùıòÇ\nĞğ\rÅåΔ_ΦΓΛΩΠΨΣΘΞ\u001BŞşßÉ !"#¤%&\'()*+,-./0123456789:;<=>?' +
      'İABCDEFGHIJKLMNOPQRSTUVWXYZÄÖÑÜ§çabcdefghijklmnopqrstuvwxyzäöñüà',
    single: { 0x47: 'Ğ', 0x49: 'İ', 0x53: 'Ş', 0x63: 'ç', 0x67: 'ğ', 0x69: 'ı', 0x73: 'ş' },
  },
  spanish: {
    identifier: 2,
    locking: null,
    single: {
      0x09: 'ç',
      0x41: 'Á',
      0x49: 'Í',
      0x4f: 'Ó',
      0x55: 'Ú',
      0x61: 'á',
      0x69: 'í',
      0x6f: 'ó',
      0x75: 'ú',
    },
  },
  portuguese: {
    identifier: 3,
    locking:
      '@£$¥êéúíóç\nÔô\rÁáΔ_ªÇÀ∞^\\€Ó|\u001BÂâÊÉ !"#º%&\'()*+,-./0123456789:;<=>?' +
      'ÍABCDEFGHIJKLMNOPQRSTUVWXYZÃÕÚÜ§~abcdefghijklmnopqrstuvwxyzãõ`üà',
    single: {
      0x05: 'ê',
      0x09: 'ç',
      0x0b: 'Ô',
      0x0c: 'ô',
      0x0e: 'Á',
      0x0f: 'á',
      ...run(0x12, 'ΦΓ^ΩΠΨΣΘ'),
      0x1f: 'Ê',
      0x41: 'À',
      0x49: 'Í',
      0x4f: 'Ó',
      0x55: 'Ú',
      0x5b: 'Ã',
      0x5c: 'Õ',
      0x61: 'Â',
      0x69: 'í',
      0x6f: 'ó',
      0x75: 'ú',
      0x7b: 'ã',
      0x7c: 'õ',
      0x7f: 'â',
    },
  },
  hindi: {
    identifier: 6,
    locking:
      '\u0901\u0902\u0903\u0905\u0906\u0907\u0908\u0909\u090A\u090B\n\u090C\u090D\r\u090E\u090F' +
      '\u0910\u0911\u0912\u0913\u0914\u0915\u0916\u0917\u0918\u0919\u091A\u001B\u091B\u091C\u091D\u091E' +
      ' !\u091F\u0920\u0921\u0922\u0923\u0924)(\u0925\u0926,\u0927.\u0928' +
      '0123456789:;\u0929\u092A\u092B?' +
      '\u092C\u092D\u092E\u092F\u0930\u0931\u0932\u0933\u0934\u0935\u0936\u0937\u0938\u0939\u093C\u093D' +
      '\u093E\u093F\u0940\u0941\u0942\u0943\u0944\u0945\u0946\u0947\u0948\u0949\u094A\u094B\u094C\u094D' +
      '\u0950abcdefghijklmno' +
      'pqrstuvwxyz\u0972\u097B\u097C\u097E\u097F',
    single: {
      ...run(0x00, '@£$¥¿"¤%&\'\f*+'),
      ...run(0x0e, '-/<=>¡^¡_#*\u0964\u0965'),
      ...run(0x1c, '\u0966\u0967\u0968\u0969\u096A\u096B\u096C\u096D\u096E\u096F\u0951\u0952{}\u0953\u0954'),
      ...run(0x2c, '\u0958\u0959\u095A\\\u095B\u095C\u095D\u095E\u095F\u0960\u0961\u0962\u0963\u0970\u0971'),
      ...run(0x41, 'ABCDEFGHIJKLMNOPQRSTUVWXYZ'),
    },
  },
}
