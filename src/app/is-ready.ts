import { answers } from '../store/answers.ts'
import type { Deps } from './deps.ts'

/** Whether work can be done: the database answers. */
export async function isReady({ database, log }: Deps): Promise<boolean> {
  try {
    return await answers(database.db)
  } catch (error) {
    log.warn('the database does not answer', { error })
    return false
  }
}
