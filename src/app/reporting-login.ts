import { Refusal } from '../core/refusals.ts'
import type { Transaction } from '../store/database.ts'
import { endLogin, makeLogin } from '../store/reporting.ts'
import type { Deps } from './deps.ts'
import { noteChange } from './note-change.ts'

/** Lets a report tool read the views that name nobody; answers the password, which is kept nowhere here. */
export async function makeReportingLogin(
  tx: Transaction,
  deps: Deps,
  newSecret: () => string,
  name: string,
): Promise<string> {
  const login = proveLoginName(name)
  const password = newSecret()
  await makeLogin(tx, login, password)
  await note(tx, deps, login, 'make-reporting-login')
  return password
}

/** Ends such a login at once. @throws {Refusal} input-invalid */
export async function endReportingLogin(tx: Transaction, deps: Deps, name: string): Promise<void> {
  const login = proveLoginName(name)
  if (!(await endLogin(tx, login))) throw new Refusal('input-invalid', `There is no login ${login}.`)
  await note(tx, deps, login, 'end-reporting-login')
}

/** The mark of its kind keeps every other role of the server out of reach. */
const MARK = 'report_'
const LOGIN_NAME = /^report_[a-z0-9_]{1,24}$/

function proveLoginName(name: string): string {
  if (LOGIN_NAME.test(name)) return name
  throw new Refusal(
    'input-invalid',
    `Begin the name with ${MARK} and use small letters, digits and underscores, 31 at most.`,
  )
}

function note(tx: Transaction, deps: Deps, login: string, act: string): Promise<void> {
  const subject = { kind: 'login', id: null }
  return noteChange(tx, deps, { districtId: null, actor: 'duebell', act, subject, after: { login } })
}
