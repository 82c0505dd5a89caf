import { readFileSync } from 'node:fs'
import { errorsPage } from '../../../scripts/errors-page.ts'

test('docs/errors.md lists exactly the refusals and text problems there are', async () => {
  expect(readFileSync('docs/errors.md', 'utf8')).toBe(await errorsPage())
})
