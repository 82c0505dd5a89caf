/** Calendars by a link (RFC 5545), read by a second library. */
import ICAL from 'ical.js'
import { z } from 'zod'
import { runningService } from '../../support/running-service.ts'
import { newDistrict } from '../../support/test-district.ts'
import type { TestDistrict } from '../../support/test-district.ts'

const service = await runningService('2026-03-04T10:00+03:00')
const { ask, call, clock } = service
beforeEach(service.empty)

async function aDistrict(hours?: string): Promise<TestDistrict> {
  clock.moveTo('2026-03-04T10:00+03:00')
  const days = { name: 'Ford', sessions: ['FREQ=WEEKLY;BYDAY=TU'], exceptDays: ['2026-03-17'] }
  return newDistrict(service, { posts: [{ ...days, ...(hours === undefined ? {} : { hours }) }] })
}

const link = async ({ id, token }: TestDistrict, of: object) => {
  const { body } = await call('POST', `/v1/districts/${id}/calendar-links`, { token, body: { of } })
  return z.looseObject({ id: z.string(), path: z.string() }).parse(body)
}

async function read(path: string) {
  const response = await fetch(`${service.address}${path}`)
  return { status: response.status, type: response.headers.get('content-type'), text: await response.text() }
}

function eventsOf(text: string) {
  const calendar = new ICAL.Component(ICAL.parse(text) as unknown[])
  return calendar.getAllSubcomponents('vevent').map((each) => new ICAL.Event(each))
}

test('a post’s calendar has its session days for any calendar program', async () => {
  const district = await aDistrict()
  const { path } = await link(district, { kind: 'post', postId: await district.postId('Ford') })

  const { status, type, text } = await read(path)
  const events = eventsOf(text)

  expect([status, type]).toEqual([200, 'text/calendar; charset=utf-8'])
  expect(events.slice(0, 2).map(({ startDate }) => startDate.toString())).toEqual([
    '2026-03-10',
    '2026-03-24',
  ])
  expect(events.every(({ startDate }) => startDate.isDate)).toBe(true)
  expect(events[0]).toMatchObject({ summary: 'Vaccine day, Ford', location: 'Ford' })
  // RFC 5545, 3.1: lines of at most 75 octets, ended by CRLF; 3.8.4.7: each event has an identifier of its own.
  expect(text.split('\r\n').every((line) => Buffer.byteLength(line) <= 75)).toBe(true)
  expect(new Set(events.map(({ uid }) => uid)).size).toBe(events.length)
})

test('hours stand in UTC, as the clock of the district has them', async () => {
  const district = await aDistrict('09:00-13:00')
  const { path } = await link(district, { kind: 'post', postId: await district.postId('Ford') })

  const [first] = eventsOf((await read(path)).text)

  expect(first?.startDate.toJSDate().toISOString()).toBe('2026-03-10T06:00:00.000Z')
  expect(first?.endDate.toJSDate().toISOString()).toBe('2026-03-10T10:00:00.000Z')
})

test('a child’s calendar has its next visit and follows it, and names the child as texts do', async () => {
  const district = await aDistrict()
  const child = await district.enrol({ birthDate: '2026-01-20', name: 'Asha Temba' })
  const { path } = await link(district, { kind: 'child', childId: child.id })
  const before = eventsOf((await read(path)).text)

  clock.moveTo('2026-03-10T12:00+03:00')
  await ask(district.vaccinator, `GAVE ${child.cardNumber} ALL`)
  const { text } = await read(path)
  const after = eventsOf(text)

  expect(before.map(({ startDate }) => startDate.toString())).toEqual(['2026-03-10'])
  expect(after.map(({ startDate }) => startDate.toString())).toEqual(['2026-04-07'])
  expect(after[0]?.uid).toBe(before[0]?.uid)
  expect(text).not.toContain('Temba')
})

test('an ended link, an unknown one and a child of another district show nothing', async () => {
  const district = await aDistrict()
  const other = await aDistrict()
  const child = await other.enrol({ birthDate: '2026-01-20' })
  const { id, path } = await link(district, { kind: 'post', postId: await district.postId('Ford') })

  const ended = await call('POST', `/v1/districts/${district.id}/calendar-links/${id}/end`, {
    token: district.token,
    body: {},
  })
  const elsewhere = await call('POST', `/v1/districts/${district.id}/calendar-links`, {
    token: district.token,
    body: { of: { kind: 'child', childId: child.id } },
  })

  expect(ended).toMatchObject({
    status: 200,
    body: { links: [{ id, endedAt: expect.any(String) as string }] },
  })
  expect((await read(path)).status).toBe(404)
  expect((await read('/calendars/x.ics')).status).toBe(404)
  expect(elsewhere.status).toBe(404)
})
