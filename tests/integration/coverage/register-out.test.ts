/** The register goes out as the file that comes in. */
import { Readable } from 'node:stream'
import { importRegister } from '../../../src/app/import-register.ts'
import type { RegisterLine } from '../../../src/app/import-register.ts'
import { registerCsvText, registerXlsx } from '../../../src/app/export-register.ts'
import { csvLines, xlsxLines } from '../../../src/app/register-lines.ts'
import { runningService } from '../../support/running-service.ts'
import { newDistrict, phoneOf } from '../../support/test-district.ts'
import type { TestDistrict } from '../../support/test-district.ts'

const service = await runningService('2026-03-10T10:00+03:00')
const { ask, call, database, deps } = service
beforeEach(service.empty)

const csvOf = ({ id }: TestDistrict) => registerCsvText(database.db, deps, id)
const linesOf = (csv: string) => csvLines(Readable.from([Buffer.from(csv)]))

async function takeIn(district: TestDistrict, lines: AsyncIterable<RegisterLine>): Promise<string[]> {
  const problems: string[] = []
  await importRegister(
    deps,
    {
      districtId: district.id,
      by: 'test',
      isDryRun: false,
      onProblem: ({ code, value }) => problems.push(`${code} ${value}`),
      onProgress: () => undefined,
    },
    lines,
  )
  return problems
}

/** Children of every kind that a register knows: late doses, too many doses, no phone, words that look like formulas. */
async function aRegister(): Promise<TestDistrict> {
  const district = await newDistrict(service)
  const isKnownToBeNew = true
  const asha = await district.enrol({ name: 'Asha "Ash" Temba, the elder', birthDate: '2025-09-20' })
  await district.enrol({ name: '=Juma+Hill', birthDate: '2025-10-01', phone: null, isKnownToBeNew })
  const stopped = await district.enrol({
    name: 'عائشة',
    birthDate: '2025-11-02',
    village: 'Kesho',
    isKnownToBeNew,
  })
  await ask(phoneOf(stopped), 'STOP')
  const days = ['2025-11-02', '2025-12-02', '2026-01-02', '2026-02-02', '2026-03-02']
  for (const givenOn of days)
    await call('POST', `/v1/children/${asha.id}/doses`, {
      token: district.token,
      body: { vaccines: ['PENTA', 'BOPV'], givenOn },
    })
  return district
}

/** A district of the same villages, and nothing else. */
async function wiped(): Promise<TestDistrict> {
  await service.empty()
  return newDistrict(service)
}

test('written out, wiped, taken in and written out again it is the same, as CSV', async () => {
  const district = await aRegister()
  const before = await csvOf(district)

  const after = await wiped()
  expect(await takeIn(after, linesOf(before))).toEqual([])

  expect(await csvOf(after)).toBe(before)
  expect(before.split('\r\n')).toHaveLength(1 + 3 + 1)
  expect(before).toContain(`'=Juma+Hill`)
  // Three numbered doses of PENTA and two beyond them, which share a cell.
  expect(before).toMatch(/,2025-11-02,2025-12-02,2026-01-02,.*2026-02-02/)
})

test('and as XLSX', async () => {
  const district = await aRegister()
  const before = await csvOf(district)
  const workbook = await registerXlsx(database.db, deps, district.id)

  const after = await wiped()
  expect(await takeIn(after, xlsxLines(workbook))).toEqual([])

  expect(await csvOf(after)).toBe(before)
})

test('leaves out who is no longer followed, and the number of a family that wants no texts', async () => {
  const district = await aRegister()
  const gone = await district.enrol({ name: 'Neema Ford', birthDate: '2025-12-12', isKnownToBeNew: true })
  await ask(district.vaccinator, `VISIT ${gone.cardNumber} moved`)

  const csv = await csvOf(district)

  expect(csv).not.toContain('Neema')
  expect(csv.split('\r\n').find((line) => line.includes('عائشة'))).toMatch(/,Kesho,,,/)
})
