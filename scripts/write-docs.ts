/** Writes the pages that follow from the code, so that they cannot drift: `npm run docs`. */
import { writeFileSync } from 'node:fs'
import { errorsPage } from './errors-page.ts'
import { settingsPage } from './settings-page.ts'

writeFileSync('docs/errors.md', await errorsPage())
writeFileSync('docs/settings.md', await settingsPage())
