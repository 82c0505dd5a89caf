import type { Shelf } from '../app/shelf.ts'
import { checkData, mustBeValid } from '../core/checked-data.ts'
import { indicatorSettingsSchema } from '../core/coverage/indicator-settings.ts'
import { parseReminderPolicy } from '../core/reminders/policy.ts'
import { listDataFiles, readDataFile } from '../platform/data-files.ts'
import { readPhraseBooks } from './phrase-books.ts'
import { loadSchedule, shippedScheduleIds } from './schedules.ts'
import { readVocabularies } from './vocabularies.ts'

/** All data that comes with the release, proven; a broken file is a fault of the release and throws. */
export function loadShelf(): Shelf {
  const schedules = new Map(shippedScheduleIds().map((id) => [id, loadSchedule(id)]))
  return {
    schedules,
    books: readPhraseBooks(),
    policies: new Map(
      listDataFiles('policies').map((name) => [
        name,
        mustBeValid(parseReminderPolicy(readDataFile(`policies/${name}.json`))),
      ]),
    ),
    indicators: mustBeValid(checkData(indicatorSettingsSchema, readDataFile('indicators/default.json'))),
    vaccineCodes: new Set([...schedules.values()].flatMap((schedule) => [...schedule.vaccines.keys()])),
    vocabularyOf: readVocabularies(schedules),
  }
}
