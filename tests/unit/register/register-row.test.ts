import { mustParseDay } from '../../../src/core/days/day.ts'
import { readColumns } from '../../../src/core/register/register-columns.ts'
import { nameKey, readRow } from '../../../src/core/register/register-row.ts'
import { shippedSchedule } from '../../support/schedules.ts'

const TITLES = ['card_number', 'name', 'sex', 'birth_date', 'village', 'phone', 'language', 'BCG', 'PENTA1']
const scope = {
  columns: readColumns(TITLES, 1, shippedSchedule('who-2025-preferred')),
  today: mustParseDay('2026-11-25'),
  region: 'GB',
  languages: ['en', 'sw'],
  villages: new Map([[nameKey('Amber Ford'), 'v']]),
}

/** A good row with some cells changed, by title. */
function read(changes: Partial<Record<string, string>> = {}) {
  const good: Record<string, string> = { name: 'Ayo Bell', birth_date: '2026-01-05', village: 'Amber Ford' }
  return readRow(
    TITLES.map((title) => changes[title] ?? good[title] ?? ''),
    9,
    scope,
  )
}

const child = (changes: Partial<Record<string, string>>) => {
  const reading = read(changes)
  return reading.kind === 'child'
    ? reading.child
    : reading.problems.map(({ column, code }) => `${column} ${code}`)
}

describe('readRow', () => {
  test('needs a name, a birth date and a village, and no more', () => {
    expect(read()).toEqual({
      kind: 'child',
      child: {
        line: 9,
        cardNumber: null,
        name: 'Ayo Bell',
        sex: null,
        birthOn: mustParseDay('2026-01-05'),
        villageId: 'v',
        phone: null,
        language: 'en',
        doses: [],
      },
    })
    expect(child({ name: '', birth_date: '', village: ' ' })).toEqual([
      'name cell-empty',
      'birth_date cell-empty',
      'village cell-empty',
    ])
  })

  // 07700 900000 to 900999 are kept for fiction (Ofcom); 4821 7739 fits its Damm digit.
  test('reads cards, phones, sexes and languages as people write them', () => {
    expect(
      child({
        card_number: '4821 7739',
        phone: '07700 900123',
        sex: 'F',
        language: 'SW',
        village: 'AMBER  ford',
      }),
    ).toMatchObject({
      cardNumber: '48217739',
      phone: '+447700900123',
      sex: 'female',
      language: 'sw',
      villageId: 'v',
    })
  })

  test('reads names with marks and scripts, and digits of any script', () => {
    expect(child({ name: 'N’Dri  Óla', birth_date: '٢٠٢٦-٠١-٠٥' })).toMatchObject({
      name: "N'Dri Óla",
      birthOn: mustParseDay('2026-01-05'),
    })
  })

  test('keeps the number in a title beside the dose', () => {
    expect(child({ BCG: '2026-01-05', PENTA1: '2026-02-16' })).toMatchObject({
      doses: [
        { vaccine: 'BCG', on: mustParseDay('2026-01-05'), typedNumber: null },
        { vaccine: 'PENTA', on: mustParseDay('2026-02-16'), typedNumber: 1 },
      ],
    })
  })

  test.each([
    [{ birth_date: '2025-02-29' }, 'birth_date date-impossible'],
    [{ birth_date: '05/01/2026' }, 'birth_date date-impossible'],
    [{ birth_date: '2026-11-26' }, 'birth_date birth-in-future'],
    [{ birth_date: '1926-01-05' }, 'birth_date birth-too-long-ago'],
    [{ BCG: '2026-01-04' }, 'BCG dose-before-birth'],
    [{ PENTA1: '2026-11-26' }, 'PENTA1 dose-in-future'],
  ])('refuses %j', (changes, problem) => {
    expect(child(changes)).toEqual([problem])
  })

  test('says what to do about each problem', () => {
    const reading = read({ village: 'Nowhere' })
    expect(reading).toMatchObject({ kind: 'refused', problems: [{ line: 9, value: 'Nowhere' }] })
    expect(reading.kind === 'refused' && reading.problems[0]?.advice).toMatch(
      /^The district has no such village;/,
    )
  })
})
