/** WHO indicators I14 to I16, I23 to I34, I38 and I39: doses of later life against targets of their own (docs/indicators.md). */
import { readFileSync } from 'node:fs'
import { z } from 'zod'
import { runningService } from '../../support/running-service.ts'
import { newDistrict } from '../../support/test-district.ts'

const service = await runningService('2026-03-04T10:00+03:00')
const { call, tokenFor } = service

const CODE = 'every-age'
/** One dose each at 12 months; malaria has four. HPV for girls, TD and JE come with the file. */
const MORE = ['MENA', 'DT', 'YF', 'TCV', 'FLU', 'COVID', 'MALARIA']

/** A schedule with every vaccine that the indicators name; its ages are this test's own. */
function scheduleOfAllAges(): object {
  const shape = z.looseObject({ vaccines: z.array(z.unknown()), series: z.array(z.unknown()) })
  const file = shape.parse(JSON.parse(readFileSync('src/data/schedules/months-2-4-6.json', 'utf8')))
  const vaccine = { kind: 'inactivated', route: 'intramuscular', site: 'upper arm' }
  const doses = (code: string) => [
    { earliest: '12 months', overdue: '24 months' },
    ...(code === 'MALARIA' ? [1, 2, 3].map(() => ({ after: '4 weeks' })) : []),
  ]
  return {
    ...file,
    id: CODE,
    vaccines: [...file.vaccines, ...MORE.map((code) => ({ ...vaccine, code, name: code.toLowerCase() }))],
    series: [
      ...file.series,
      ...MORE.map((code) => ({ id: code, name: code, vaccines: [code], doses: doses(code) })),
    ],
  }
}

const VILLAGE = { post: 'Ford', population: 1000, birthsPer1000: 40, infantDeathsPer1000Births: 25 }
const TARGETS = { HPV: 20, MENA: 39, DT: 30, TD: 30, YF: 39, JE: 10, TCV: 38, FLU: 8, COVID: 5, MALARIA: 36 }

const withTargets = (bySeries: Record<string, number>) => ({
  district: { schedule: CODE },
  villages: [
    { ...VILLAGE, name: 'Mbari', target: { bySeries, source: 'health office', year: 2026 } },
    { ...VILLAGE, name: 'Kesho', target: { bySeries: { HPV: 5, MALARIA: 9 } } },
  ],
})

test('a dose of later life is measured against the target entered for its series, not against infants', async () => {
  const schedule = await call('POST', '/v1/schedules', {
    token: await tokenFor('officer'),
    body: scheduleOfAllAges(),
  })
  expect(schedule).toMatchObject({ status: 201 })
  const district = await newDistrict(service, withTargets(TARGETS))
  const { id, token } = district
  const give = async (childId: string, vaccines: string[], givenOn: string) => {
    const body = { vaccines, givenOn, isElsewhere: true }
    expect(await call('POST', `/v1/children/${childId}/doses`, { token, body })).toMatchObject({
      status: 201,
    })
  }
  const girl = await district.enrol({ name: 'Asha Temba', birthDate: '2015-01-20', sex: 'female' })
  await give(girl.id, ['HPV', 'TD', 'DT', 'FLU', 'COVID', 'MENA', 'JE', 'YF', 'TCV'], '2025-06-03')
  await give(girl.id, ['HPV'], '2025-12-16')
  const infant = await district.enrol({ name: 'Juma Okello', birthDate: '2024-01-20' })
  for (const day of ['2025-02-04', '2025-03-11', '2025-04-15', '2025-05-20'])
    await give(infant.id, ['MALARIA'], day)
  const late = await district.enrol({ name: 'Neema Moyo', birthDate: '2024-01-21', village: 'Kesho' })
  await give(late.id, ['MALARIA'], '2025-02-04')

  const { body } = await call('GET', `/v1/districts/${id}/coverage`, { token })
  const row = z.looseObject({ village: z.string(), series: z.string(), dose: z.int() })
  const { rows } = z.object({ rows: z.array(row) }).parse(body)
  const of = (village: string, series: string, dose = 1) =>
    rows.find((each) => each.village === village && each.series === series && each.dose === dose)

  expect(of('Mbari', 'HPV')).toMatchObject({ numerator: 1, denominator: 20, coverage_percent: 5 })
  expect(of('Mbari', 'HPV', 2)).toMatchObject({ numerator: 1, denominator: 20 })
  for (const series of ['MENA', 'DT', 'TD', 'YF', 'JE', 'TCV', 'FLU', 'COVID'] as const)
    expect(of('Mbari', series)).toMatchObject({ numerator: 1, denominator: TARGETS[series] })
  for (const dose of [1, 2, 3, 4])
    expect(of('Mbari', 'MALARIA', dose)).toMatchObject({ numerator: 1, denominator: 36 })
  // Together: 20 + 5 and 36 + 9. What Kesho has no target of its own for is measured there against its 39 infants.
  expect(of('ALL', 'HPV')).toMatchObject({ numerator: 1, denominator: 25, coverage_percent: 4 })
  expect(of('ALL', 'MALARIA')).toMatchObject({ numerator: 2, denominator: 45 })
  expect(of('ALL', 'YF')).toMatchObject({ numerator: 1, denominator: 39 + 39 })
  expect(of('Mbari', 'PENTA')).toMatchObject({ denominator: 39 })

  const month = await call('GET', `/v1/districts/${id}/coverage?from=2025-06-01&to=2025-06-30`, { token })
  const inMonth = z.object({ rows: z.array(row) }).parse(month.body).rows
  expect(inMonth.find(({ series, village }) => series === 'HPV' && village === 'Mbari')).toMatchObject({
    numerator: 1,
    denominator: expect.closeTo(20 / 12, 9) as unknown,
  })

  const dropout = await call('GET', `/v1/districts/${id}/dropout`, { token })
  expect(dropout.body).toMatchObject({
    rows: expect.arrayContaining([
      expect.objectContaining({
        village: 'ALL',
        pair: 'malaria-1-3',
        reading: 'period',
        first: 2,
        dropped: 1,
      }),
      expect.objectContaining({
        village: 'ALL',
        pair: 'malaria-1-3',
        reading: 'cohort',
        first: 2,
        dropped: 1,
      }),
      expect.objectContaining({
        village: 'ALL',
        pair: 'malaria-3-4',
        reading: 'period',
        first: 1,
        dropped: 0,
      }),
    ]) as unknown,
  })
})

test('a target of a series that the schedule has not is refused', async () => {
  const operator = await tokenFor('operator')
  const district = await newDistrict(service)
  const villages = [{ ...VILLAGE, name: 'Mbari', target: { bySeries: { HPV: 5 } } }]
  const answer = await call('PUT', '/v1/districts', { token: operator, body: { ...district.file, villages } })

  expect(answer).toMatchObject({ status: 422, body: { code: 'series-unknown' } })
})
