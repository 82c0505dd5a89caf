import { runningService } from '../../support/running-service.ts'
import { newDistrict, phoneOf } from '../../support/test-district.ts'
import type { ChildJson } from '../../support/test-district.ts'

const service = await runningService('2026-01-05T10:00+03:00')
const { arrivals, clock, database, ask, deliver, inbox, liveThrough } = service
beforeEach(service.empty)

/** One session a month, on the second Tuesday. */
const MONTHLY = { posts: [{ name: 'Ford', sessions: ['FREQ=MONTHLY;BYDAY=2TU'] }] }
const A_LONG_TEST_MS = 180_000

test(
  'over a year each child gets exactly the texts its visits call for',
  async () => {
    const district = await newDistrict(service, MONTHLY)
    const steady = await district.enrol({ name: 'Asha Temba', birthDate: '2025-12-20' })
    const absent = await district.enrol({ name: 'Juma Hill', sex: 'male', birthDate: '2025-12-21' })
    const late = await district.enrol({ name: 'Zawadi Lake', birthDate: '2025-12-22' })
    const without = await district.enrol({
      name: 'Otto Reed',
      sex: 'male',
      birthDate: '2025-12-23',
      phone: null,
    })

    for (let month = 1; month <= 12; month += 1) {
      const visits = [steady, late].map((child) => district.child(child.id))
      for (const { appointment, cardNumber, id } of await Promise.all(visits)) {
        if (appointment === null || Number(appointment.sessionOn.slice(5, 7)) !== month) continue
        // One comes on the day; the other six days after it, to the post itself.
        const on = new Date(`${appointment.sessionOn}T09:00Z`)
        if (id === late.id) on.setUTCDate(on.getUTCDate() + 6)
        await liveThrough(on.toISOString())
        await ask(district.vaccinator, `GAVE ${cardNumber} ALL`)
        await deliver()
      }
    }
    await liveThrough('2027-01-05T10:00+03:00')

    const texts = async (child: ChildJson) => {
      const visits = await database.db.appointment.findMany({ where: { childId: child.id } })
      const reminders = await database.db.reminder.findMany({
        where: { childId: child.id, textOutId: { not: null } },
      })
      const count = (kind: string) => reminders.filter((reminder) => reminder.kind === kind).length
      return {
        visits: visits.filter((visit) => visit.status === 'kept' || visit.status === 'missed').length,
        ahead: count('ahead'),
        eve: count('eve'),
        'missed-1': count('missed-1'),
        'missed-2': count('missed-2'),
        aftercare: count('aftercare'),
        arrived: arrivals(phoneOf(child)).length,
      }
    }
    const own = await texts(steady)
    expect(own.visits).toBeGreaterThanOrEqual(4)
    // The first visit is eight days after the enrolment; every text about it leaves.
    expect(own).toEqual({
      visits: own.visits,
      ahead: own.visits,
      eve: own.visits,
      'missed-1': 0,
      'missed-2': 0,
      aftercare: own.visits,
      arrived: 3 * own.visits,
    })
    // After four recalls nothing more is sent until the child has come: docs/reminders.md.
    expect(await texts(absent)).toMatchObject({
      visits: 12,
      ahead: 3,
      eve: 3,
      'missed-1': 2,
      'missed-2': 2,
      aftercare: 0,
    })
    const lateTexts = await texts(late)
    expect(lateTexts).toMatchObject({ 'missed-2': 0, 'missed-1': lateTexts.aftercare })
    expect(await texts(without)).toMatchObject({ ahead: 0, eve: 0, 'missed-1': 0, aftercare: 0 })
  },
  A_LONG_TEST_MS,
)

test(
  'tries are counted since the last visit, and end at the limit of the policy',
  async () => {
    clock.moveTo('2027-03-03T10:00+03:00')
    const district = await newDistrict(service, MONTHLY)
    const child = await district.enrol({ birthDate: '2027-01-20' })
    const recalls = () => inbox(phoneOf(child)).filter((text) => /missed|waiting/.test(text)).length

    // Nobody comes to four sessions, then to one, then to none again.
    await liveThrough('2027-06-20T12:00+03:00')
    expect(recalls()).toBe(4)
    await liveThrough('2027-07-13T12:00+03:00')
    await ask(district.vaccinator, `GAVE ${child.cardNumber} ALL`)
    await liveThrough('2027-11-20T12:00+03:00')

    expect(recalls()).toBe(8)
  },
  A_LONG_TEST_MS,
)
