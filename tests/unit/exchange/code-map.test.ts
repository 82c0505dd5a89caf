import { readFileSync } from 'node:fs'
import { codeMapSchema, codingsOf, vaccineOf } from '../../../src/core/exchange/code-map.ts'
import { SYSTEM } from '../../../src/core/exchange/systems.ts'
import { loadShelf } from '../../../src/main/shelf.ts'

const { codes, schedules, vaccineCodes } = loadShelf()
const cvx = (code: string) => vaccineOf(codes, [{ system: SYSTEM.cvx, code }])

test('every vaccine of every schedule has a row, and every row a vaccine', () => {
  expect([...codes.byVaccine.keys()].sort()).toEqual([...vaccineCodes].sort())
})

test('a vaccine goes out and comes back as itself, whatever it is', () => {
  for (const vaccine of vaccineCodes) expect(vaccineOf(codes, codingsOf(codes, vaccine))).toBe(vaccine)
})

test('ATC codes are those the schedules name', () => {
  for (const { vaccines } of schedules.values())
    for (const { code, atc } of vaccines.values())
      expect([code, codes.byVaccine.get(code)?.atc]).toEqual([code, atc])
})

// CDC, CVX: Vaccines Administered (HL7 v2 table 0292), as published copies of the table have it.
test.each([
  ['19', 'BCG'],
  ['08', 'HEPB'],
  ['178', 'BOPV'],
  ['10', 'IPV'],
  ['198', 'PENTA'],
  ['01', 'DTP'],
  ['133', 'PCV'],
  ['119', 'ROTA2'],
  ['116', 'ROTA3'],
  ['05', 'MCV'],
  ['04', 'MR'],
  ['03', 'MMR'],
  ['37', 'YF'],
  ['113', 'TD'],
])('CVX %s is %s', (code, vaccine) => {
  expect(cvx(code)).toBe(vaccine)
})

test('our own code counts before one that two vaccines share', () => {
  const fractional = codingsOf(codes, 'FIPV')

  expect(fractional).toContainEqual({ system: SYSTEM.cvx, code: '10' })
  expect(vaccineOf(codes, fractional)).toBe('FIPV')
})

test('a code from elsewhere that means nothing here stays unread', () => {
  expect(cvx('88')).toBeUndefined()
  expect(vaccineOf(codes, [{ system: 'urn:oid:1.2.36.1.2001.1005.17', code: 'FLUVAX' }])).toBeUndefined()
  expect(vaccineOf(codes, [])).toBeUndefined()
})

test('a map in which two vaccines read one code is refused', () => {
  const file = JSON.parse(
    readFileSync(new URL('../../../src/data/exchange/vaccine-codes.json', import.meta.url), 'utf8'),
  ) as { vaccines: { reads: string[] }[] }
  file.vaccines[1]?.reads.push('cvx 19')

  expect(codeMapSchema.safeParse(file).success).toBe(false)
})
