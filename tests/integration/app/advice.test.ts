/** Who stands for what families are told of health (requirement AEF-05). */
import { z } from 'zod'
import { runningService } from '../../support/running-service.ts'
import { newDistrict } from '../../support/test-district.ts'
import type { TestDistrict } from '../../support/test-district.ts'

const service = await runningService('2026-03-04T10:00+03:00')
const { call, database } = service
beforeEach(service.empty)

const shape = z.object({
  advice: z.array(
    z.object({
      language: z.string(),
      version: z.string(),
      texts: z.record(z.string(), z.string()),
      signed: z.object({ signedBy: z.string(), signedOn: z.string() }).nullable(),
    }),
  ),
})

async function english({ id, token }: TestDistrict) {
  const { body } = await call('GET', `/v1/districts/${id}/advice`, { token })
  const [found] = shape.parse(body).advice.filter(({ language }) => language === 'en')
  if (found === undefined) throw new Error('the district writes English')
  return found
}

const sign = ({ id, token }: TestDistrict, version: string) =>
  call('PUT', `/v1/districts/${id}/advice/en/sign-off`, {
    token,
    body: { version, signedBy: 'District clinical officer' },
  })

const word = ({ id, token }: TestDistrict, texts: Record<string, string>) =>
  call('PUT', `/v1/districts/${id}/wording/en`, { token, body: { texts } })

test('advice is unsigned until a clinician signs its version, and that is kept with who and when', async () => {
  const district = await newDistrict(service)
  const before = await english(district)

  expect(await sign(district, before.version)).toMatchObject({ status: 200 })

  expect(before.signed).toBeNull()
  expect((await english(district)).signed).toEqual({
    signedBy: 'District clinical officer',
    signedOn: '2026-03-04',
  })
  expect(await database.db.change.findFirst({ where: { act: 'sign-advice' } })).toMatchObject({
    after: { language: 'en', version: before.version },
  })
})

test('a changed word of advice has to be signed anew; going back to what was signed has not', async () => {
  const district = await newDistrict(service)
  const { version } = await english(district)
  await sign(district, version)

  await word(district, { 'aftercare-drops': 'Drops need no care.' })
  const changed = await english(district)
  const late = await sign(district, version)
  await word(district, {})

  expect(changed.signed).toBeNull()
  expect(late).toMatchObject({ status: 409, body: { code: 'advice-changed' } })
  expect((await english(district)).signed).not.toBeNull()
})

test('a word that is no advice leaves the signature as it is', async () => {
  const district = await newDistrict(service)
  await sign(district, (await english(district)).version)

  await word(district, { stopped: 'No more texts. For the day: {whenWord}. Again: {startWord}' })

  expect((await english(district)).signed).not.toBeNull()
})
