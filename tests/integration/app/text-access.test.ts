/** Who may text what. An act without a row fails the test: whoever adds one says here whose it is. */
import { SENDERS } from '../../../src/core/reading/act.ts'
import type { ActName, Sender } from '../../../src/core/reading/act.ts'
import { runningService } from '../../support/running-service.ts'
import { newDistrict, phoneOf } from '../../support/test-district.ts'

const service = await runningService('2026-03-10T11:00+03:00')
const { ask, database } = service

interface TextRow {
  /** Every role for which it is done; the others are told that it is not theirs. */
  readonly may: readonly Sender[]
  readonly text: (card: string) => string
}

const VACCINATOR = ['vaccinator'] as const
const WORKERS = ['vaccinator', 'manager'] as const
const ALL = ['vaccinator', 'manager', 'parent'] as const

const TEXTS: Readonly<Record<ActName, TextRow>> = {
  'record-doses': { may: VACCINATOR, text: (card) => `GAVE ${card} BCG` },
  enrol: { may: VACCINATOR, text: () => 'NEW Mbari 20/01/2026 F NOPHONE Zawadi Njoro' },
  'due-list': { may: VACCINATOR, text: () => 'DUE' },
  'card-status': { may: VACCINATOR, text: (card) => `CARD ${card}` },
  'open-vial': { may: VACCINATOR, text: () => 'OPENED BOPV L4471B 05/2027' },
  'discard-vial': { may: VACCINATOR, text: () => 'DISCARD 101 broken' },
  'report-reaction': { may: VACCINATOR, text: (card) => `REACTION ${card} a rash` },
  'record-visit': { may: VACCINATOR, text: (card) => `VISIT ${card} found` },
  'record-not-given': { may: VACCINATOR, text: (card) => `NOTGIVEN ${card} ill` },
  'record-temperature': { may: VACCINATOR, text: () => 'TEMP 4.5' },
  'record-stock': { may: VACCINATOR, text: () => 'STOCK BOPV 12' },
  'rename-child': { may: VACCINATOR, text: (card) => `NAME ${card} Asha Temba` },
  undo: { may: VACCINATOR, text: () => 'UNDO' },
  'flag-double': { may: WORKERS, text: (card) => `DOUBLE ${card} BCG` },
  coverage: { may: ['manager'], text: () => 'COVER' },
  'missed-list': { may: ['manager'], text: () => 'MISSED' },
  acknowledge: { may: ['manager'], text: () => 'SEEN' },
  'set-pin': { may: WORKERS, text: () => 'PIN' },
  'next-page': { may: WORKERS, text: () => 'MORE' },
  'answer-yes': { may: WORKERS, text: () => 'YES' },
  'answer-no': { may: [], text: () => 'NO' },
  'next-date': { may: ['parent'], text: () => 'WHEN' },
  'move-later': { may: ['parent'], text: () => 'LATER' },
  stop: { may: ['parent'], text: () => 'STOP' },
  start: { may: ['parent'], text: () => 'START' },
  'set-language': { may: ['parent'], text: () => 'English' },
  help: { may: ALL, text: () => 'HELP' },
}

const district = await newDistrict(service)
const child = await district.enrol({ birthDate: '2026-01-20' })
const PHONES: Readonly<Record<Sender, string>> = {
  vaccinator: district.vaccinator,
  manager: district.manager,
  parent: phoneOf(child),
}

async function problemOf(from: string, text: string): Promise<string | null> {
  await ask(from, text)
  const row = await database.db.textIn.findFirstOrThrow({
    where: { fromNumber: from },
    orderBy: { id: 'desc' },
  })
  return row.problem
}

/** Problems of what is not the sender's to text; a parent's other words go to a person. */
const NOT_THEIRS: Readonly<Record<Sender, readonly (string | null)[]>> = {
  vaccinator: ['role-not-allowed', 'not-offered'],
  manager: ['role-not-allowed', 'not-offered'],
  parent: ['role-not-allowed', 'not-offered', 'not-understood'],
}

test('every act has a row that says who may text it, and every row an act', () => {
  expect(Object.keys(TEXTS).sort()).toEqual(Object.keys(SENDERS).sort())
})

test.each(Object.entries(TEXTS))(
  '%s is done for the roles of its row and refused to every other',
  async (_act, row) => {
    const may: string[] = []
    for (const role of ALL) {
      const problem = await problemOf(PHONES[role], row.text(child.cardNumber))
      if (!NOT_THEIRS[role].includes(problem)) may.push(role)
    }

    expect(may).toEqual(row.may)
  },
)

test('nothing is done for a number that is nobody, whatever it texts', async () => {
  const stranger = district.newPhone()
  for (const { text } of Object.values(TEXTS).slice(0, 5))
    expect(await problemOf(stranger, text(child.cardNumber))).toBe('unknown-sender')
})
