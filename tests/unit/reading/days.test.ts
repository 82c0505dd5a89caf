import { reading } from '../../support/reading.ts'
import type { Reader } from '../../support/reading.ts'

const CARD = '48217739'

/** The day of a dose, or why there is none. */
function doseDay(words: string, reader: Reader = {}): unknown {
  const { date, code } = reading(`GAVE ${CARD} MR ${words}`, reader)
  return date ?? code
}

/** The day of a due list, or why there is none. */
function listDay(words: string, reader: Reader = {}): unknown {
  const { date, code } = reading(`DUE ${words}`, reader)
  return date ?? code
}

describe('the day of a dose, told on Tuesday 24 November 2026', () => {
  test.each([
    ['', '2026-11-24'],
    ['today', '2026-11-24'],
    ['Yesterday.', '2026-11-23'],
    ['day before yesterday', '2026-11-22'],
    ['-2', '2026-11-22'],
    ['2 days ago', '2026-11-22'],
    ['23/11', '2026-11-23'],
    ['23-11', '2026-11-23'],
    ['23.11.26', '2026-11-23'],
    ['23/11/2026', '2026-11-23'],
    ['23 11 2026', '2026-11-23'],
    ['23112026', '2026-11-23'],
    ['2026-11-23', '2026-11-23'],
    ['2026/11/3', '2026-11-03'],
    ['23 Nov', '2026-11-23'],
    ['23 november 2026', '2026-11-23'],
    ['23rd of November', '2026-11-23'],
    ['Nov 23', '2026-11-23'],
    ['23nov26', '2026-11-23'],
    ['23-Nov-2026', '2026-11-23'],
    ['monday', '2026-11-23'],
    ['on Mon', '2026-11-23'],
    ['tuesday', '2026-11-24'],
    ['last tuesday', '2026-11-17'],
    ['wed', '2026-11-18'],
    ['monday 23/11', '2026-11-23'],
    ['1/12', 'date-future'],
    ['31/12/25', '2025-12-31'],
    ['15/5', '2026-05-15'],
  ])('%p is %s', (words, day) => {
    expect(doseDay(words)).toBe(day)
  })

  test.each([
    ['tomorrow', 'date-future'],
    ['next monday', 'date-future'],
    ['+1', 'date-future'],
    ['25/11', 'date-future'],
    ['25/11/2026', 'date-future'],
    ['31/02/2026', 'date-impossible'],
    ['29/2/2026', 'date-impossible'],
    ['0/11', 'date-impossible'],
    ['11/23/2026', 'date-impossible'],
    ['12', 'date-unclear'],
    ['23rd', 'date-unclear'],
    ['22/11 23/11', 'date-unclear'],
    ['tuesday 23/11', 'date-unclear'],
  ])('%p is refused: %s', (words, code) => {
    expect(doseDay(words)).toBe(code)
  })

  test('asks with two days ready to send where two may be meant', () => {
    expect(reading(`GAVE ${CARD} MR tuesday 23/11`)['choices']).toEqual([
      'GAVE 4821 7739 MR 2026-11-24',
      'GAVE 4821 7739 MR 2026-11-23',
    ])
    expect(reading(`GAVE ${CARD} MR 12`)['choices']).toEqual([
      'GAVE 4821 7739 MR 2026-11-12',
      'GAVE 4821 7739 MR 2026-10-12',
    ])
    expect(reading(`GAVE ${CARD} MR 11/23/2026`)['choices']).toEqual(['GAVE 4821 7739 MR 2026-11-23'])
  })

  test('takes the month first where the district writes it so', () => {
    expect(doseDay('11/23', { isDayFirst: false })).toBe('2026-11-23')
    expect(doseDay('11/5/2026', { isDayFirst: false })).toBe('2026-11-05')
    expect(doseDay('2026-11-05', { isDayFirst: false })).toBe('2026-11-05')
  })

  test('goes back over the turn of the year', () => {
    expect(doseDay('30/12', { on: '2027-01-05' })).toBe('2026-12-30')
    expect(doseDay('29/2', { on: '2028-03-01' })).toBe('2028-02-29')
  })

  test.each([
    ['fr', 'hier'],
    ['fr', 'lundi'],
    ['fr', 'le 23 novembre'],
    ['fr', 'il y a 1 jour'],
    ['es', 'ayer'],
    ['es', 'el 23 de noviembre de 2026'],
    ['es', 'lunes'],
    ['es', 'hace 1 día'],
    ['pt', 'ontem'],
    ['pt', 'segunda-feira'],
    ['pt', '23 de nov'],
    ['sw', 'jana'],
    ['sw', 'Jumatatu'],
    ['sw', '23 Novemba'],
    ['hi', 'कल'],
    ['hi', 'सोमवार'],
    ['hi', '२३ नवंबर'],
    ['hi', '1 दिन पहले'],
    ['ar', 'أمس'],
    ['ar', 'الإثنين'],
    ['ar', '٢٣ تشرين الثاني'],
    ['ar', '٢٣ نوفمبر ٢٠٢٦'],
    ['ar', 'قبل 1 يوم'],
  ])('reads yesterday in %s as %s', (language, words) => {
    expect(doseDay(words, { language })).toBe('2026-11-23')
  })

  // The same day in each calendar by Unicode CLDR 48.
  test.each([
    ['ethiopic', '14/03/2019'],
    ['ethiopic', '14/3'],
    ['ethiopic', 'Hedar 14'],
    ['ethiopic', '23/11/2026'],
    ['persian', '1405/09/02'],
    ['persian', '2-9-1405'],
    ['islamic-umalqura', '13/6/1448'],
    ['buddhist', '23/11/2569'],
    ['buddhist', '23 Nov'],
    ['persian', '2026-11-23'],
  ])('reads 23 November 2026 in the %s calendar as %s', (calendar, words) => {
    expect(doseDay(words, { calendar })).toBe('2026-11-23')
  })

  test('does not take a wrong day of this Ethiopian year for a Gregorian day years ago', () => {
    expect(doseDay('31/3/2019', { calendar: 'ethiopic' })).toBe('date-impossible')
  })
})

describe('the day of a list, asked on Tuesday 24 November 2026', () => {
  test.each([
    ['tomorrow', '2026-11-25'],
    ['friday', '2026-11-27'],
    ['monday', '2026-11-30'],
    ['tuesday', '2026-11-24'],
    ['next tuesday', '2026-12-01'],
    ['27/11', '2026-11-27'],
    ['23/11', '2027-11-23'],
    ['1/12/2026', '2026-12-01'],
    ['yesterday', '2026-11-23'],
    ['31/4', 'date-impossible'],
  ])('%p is %s', (words, day) => {
    expect(listDay(words)).toBe(day)
  })

  test('takes the word that means yesterday and tomorrow as ahead', () => {
    expect(listDay('कल', { language: 'hi' })).toBe('2026-11-25')
    expect(listDay('kal', { language: 'hi' })).toBe('2026-11-25')
  })
})
