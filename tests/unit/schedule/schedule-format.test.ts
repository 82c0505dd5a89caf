import { readFileSync } from 'node:fs'
import { parseSchedule } from '../../../src/core/schedule/parse-schedule.ts'

test('the example of docs/schedule-format.md is a schedule', () => {
  const page = readFileSync('docs/schedule-format.md', 'utf8')
  const [, example = ''] = /```json\n(\{\n {2}"id"[\s\S]*?)```/.exec(page) ?? []
  expect(parseSchedule(JSON.parse(example)).kind).toBe('schedule')
})

test('docs/schedule-format.md names every reason and status', () => {
  const page = readFileSync('docs/schedule-format.md', 'utf8')
  const words = [
    ...[
      'too-young',
      'too-soon',
      'live-conflict',
      'too-old',
      'repeat-same-day',
      'before-birth',
      'future',
      'surplus',
      'not-counted',
    ],
    ...['not-yet', 'due', 'overdue', 'closed'],
  ]
  expect(words.filter((word) => !page.includes(`\`${word}\``))).toEqual([])
})
