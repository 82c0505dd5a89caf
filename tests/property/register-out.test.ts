import fc from 'fast-check'
import { addDays, mustParseDay } from '../../src/core/days/day.ts'
import { cleanText } from '../../src/core/reading/clean-text.ts'
import { readColumns } from '../../src/core/register/register-columns.ts'
import { registerCells, registerSheet } from '../../src/core/register/register-out.ts'
import type { ChildOut } from '../../src/core/register/register-out.ts'
import { nameKey, readRow } from '../../src/core/register/register-row.ts'
import { scheduleFromFile } from '../support/schedules.ts'
import { readdirSync } from 'node:fs'

const TODAY = mustParseDay('2026-11-25')
const BORN = mustParseDay('2025-11-25')
const schedules = readdirSync('src/data/schedules').map((file) =>
  scheduleFromFile(`src/data/schedules/${file}`),
)

const name = fc
  .oneof(
    fc.string({ minLength: 1 }),
    fc.constantFrom('=1+1', '-Asha', '@home', 'Bell, "Binta"', 'عائشة', 'آशा'),
  )
  .map(cleanText)
  .filter((text) => text !== '' && !text.startsWith("'"))

describe.each(schedules.map((schedule) => [schedule.id, schedule] as const))(
  'a register by %s',
  (_id, schedule) => {
    const sheet = registerSheet(schedule)

    test('has columns that import understands, each once', () => {
      const read = readColumns(sheet.titles, 1, schedule)

      expect(read.problems).toEqual([])
      expect(read.facts.size + read.doses.length).toBe(sheet.titles.length)
    })

    test('comes in as it went out, whoever the child and whatever was given', () => {
      const columns = readColumns(sheet.titles, 1, schedule)
      const scope = {
        columns,
        today: TODAY,
        region: 'GB',
        languages: ['en', 'sw'],
        villages: new Map([[nameKey('Amber Ford'), 'v1']]),
      }
      const dose = fc.record({
        vaccine: fc.constantFrom(...schedule.vaccines.keys()),
        on: fc.integer({ min: 0, max: 360 }).map((days) => addDays(BORN, days)),
      })
      const child: fc.Arbitrary<ChildOut> = fc.record({
        cardNumber: fc.constantFrom('48217739', '30951466'),
        name,
        sex: fc.constantFrom('female', 'male', null),
        birthOn: fc.constant(BORN),
        village: fc.constant('Amber Ford'),
        phone: fc.constantFrom('+447700900123', null),
        language: fc.constantFrom('en', 'sw'),
        doses: fc.uniqueArray(dose, { maxLength: 25, selector: ({ vaccine, on }) => `${vaccine} ${on}` }),
      })
      const inOrder = (doses: ChildOut['doses']) =>
        doses.map(({ vaccine, on }) => `${vaccine} ${on}`).toSorted()

      fc.assert(
        fc.property(child, (given) => {
          const reading = readRow(registerCells(sheet, given), 2, scope)
          if (reading.kind === 'refused') throw new Error(JSON.stringify(reading.problems))
          const { doses, ...facts } = reading.child
          expect(facts).toMatchObject({
            cardNumber: given.cardNumber,
            name: given.name,
            sex: given.sex,
            birthOn: given.birthOn,
            phone: given.phone,
            language: given.language,
          })
          expect(inOrder(doses)).toEqual(inOrder(given.doses))
        }),
        { numRuns: 300 },
      )
    })
  },
)
