import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { runDuebell } from '../support/run-duebell.ts'
import { runningService } from '../support/running-service.ts'
import { newDistrict } from '../support/test-district.ts'

const service = await runningService('2026-03-03T10:00+03:00')
const folder = mkdtempSync(join(tmpdir(), 'duebell-temperatures-'))
afterAll(() => {
  rmSync(folder, { recursive: true })
})

test('duebell import-temperatures takes the good rows, lists the bad ones, and changes nothing the second time', async () => {
  const { file } = await newDistrict(service)
  const csv = join(folder, 'logger.csv')
  writeFileSync(
    csv,
    'When,Degrees\n2026-03-02 10:00,1.2\n2026-03-02 11:30,0.9\n2026-03-02 12:00,warm\nyesterday,99\n',
  )
  const columns = ['--time', 'When', '--celsius', 'Degrees']
  const take = (...more: readonly string[]) =>
    runDuebell(['import-temperatures', csv, '--district', file.district.name, ...columns, ...more], {
      DATABASE_URL: service.database.url,
    })

  const first = await take('--post', 'Ford', '--fridge', 'store')
  const again = await take('--post', 'Ford', '--fridge', 'store')
  const nowhere = await take('--post', 'Nowhere')

  expect(first.exitCode).toBe(0)
  expect(first.output.split('\n').map((line) => line.split(',').slice(0, 4).join())).toEqual([
    'line,column,value,code',
    '4,Degrees,warm,temperature-unreadable',
    '5,When,yesterday,time-unreadable',
    '5,Degrees,99,temperature-impossible',
    '',
  ])
  // A logger's cold counts after an hour (docs/vials.md).
  expect(first.complaint).toMatch(/2 readings stored, 2 rows refused\ntoo-cold: 0\.9 C at worst, /)
  expect(again.complaint).toMatch(/0 readings stored, 2 rows refused/)
  expect(await service.database.db.fridgeReading.count({ where: { fridge: 'store' } })).toBe(2)
  expect(nowhere).toMatchObject({ exitCode: 1, complaint: expect.stringContaining('Ford') as string })
})
