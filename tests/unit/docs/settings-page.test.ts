import { readFileSync } from 'node:fs'
import { settingsPage } from '../../../scripts/settings-page.ts'

test('docs/settings.md says what the schema of the settings says; `npm run docs` writes it anew', async () => {
  expect(readFileSync('docs/settings.md', 'utf8')).toBe(await settingsPage())
})
