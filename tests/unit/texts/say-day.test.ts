import { addDays, mustParseDay } from '../../../src/core/days/day.ts'
import { measure } from '../../../src/core/texts/segments.ts'
import { sayDay } from '../../../src/core/texts/say-day.ts'
import { tidy } from '../../../src/core/texts/tidy.ts'

const newYear = mustParseDay('2026-09-11')
const gregory = { calendar: 'gregory' }

describe('sayDay', () => {
  test('says weekday, day and month, shortly', () => {
    expect(sayDay(mustParseDay('2026-11-24'), { language: 'en', ...gregory })).toBe('Tue 24 Nov')
    expect(sayDay(mustParseDay('2026-11-24'), { language: 'sw', ...gregory })).toBe('Jumanne 24 Nov')
    expect(sayDay(mustParseDay('2026-11-24'), { language: 'en', ...gregory, hours: '09:00-13:00' })).toBe(
      'Tue 24 Nov 09:00-13:00',
    )
    expect(sayDay(mustParseDay('2026-01-31'), { language: 'en', ...gregory, withYear: true })).toBe(
      'Sat 31 Jan 2026',
    )
  })

  /** Days from CLDR through ICU 78; 1 Meskerem 2019 is the Ethiopian new year. */
  test.each([
    ['en', 'ethiopic', 'Fri 1 Meskerem 2019'],
    ['en', 'persian', 'Fri 20 Shahrivar 1405'],
    ['en', 'islamic-umalqura', 'Fri 29 Rab. I 1448'],
    ['en', 'buddhist', 'Fri 11 Sep 2569'],
    ['ar', 'islamic-umalqura', 'الجمعة 29 ربيع الأول 1448'],
    ['hi', 'gregory', 'शुक्र 11 सित॰ 2026'],
  ])('says the day of %s in the %s calendar', (language, calendar, said) => {
    expect(sayDay(newYear, { language, calendar, withYear: true })).toBe(said)
  })

  test('writes in digits a month whose name would turn a text into UCS-2', () => {
    const august = mustParseDay('2026-08-15')

    expect(sayDay(august, { language: 'fr', ...gregory })).toBe('sam 15/08/2026')
    expect(sayDay(mustParseDay('2026-07-15'), { language: 'fr', ...gregory })).toBe('mer 15 juil')
    expect(sayDay(august, { language: 'es', ...gregory })).toBe('sab 15 ago')
  })

  test('costs a French reminder on 15 August one part, not three', () => {
    const words = `Rappel: ${'a'.repeat(129)} `
    const named = `${words}15 août 2026`
    const said = `${words}${sayDay(mustParseDay('2026-08-15'), { language: 'fr', ...gregory })}`

    expect(measure(named)).toEqual({ alphabet: 'ucs2', units: 150, parts: 3 })
    expect(measure(said)).toMatchObject({ alphabet: 'gsm7', parts: 1 })
  })

  test.each(['en', 'fr', 'es', 'pt', 'sw'])(
    'stays in GSM-7 all year in %s, in every calendar',
    (language) => {
      for (const calendar of ['gregory', 'ethiopic', 'islamic-umalqura', 'persian', 'buddhist'])
        for (let days = 0; days < 366; days++) {
          const said = sayDay(addDays(newYear, days), { language, calendar, withYear: true })
          expect([said, measure(said).alphabet]).toEqual([said, 'gsm7'])
        }
    },
  )

  test.each(['en', 'fr', 'es', 'pt', 'sw', 'hi', 'ar'])(
    'uses Latin digits and no marks in %s',
    (language) => {
      for (const calendar of ['gregory', 'ethiopic', 'islamic-umalqura', 'persian', 'buddhist']) {
        const said = sayDay(newYear, { language, calendar, withYear: true })
        expect(said).toMatch(/[0-9]/)
        expect(said).not.toMatch(/[\u0660-\u0669\u06f0-\u06f9\u0966-\u096f]|\p{Cf}|[\u00a0\u202f]/u)
        expect(tidy(said)).toBe(said)
      }
    },
  )
})
