/** Writes docs/errors.md from the catalogues, so that the page cannot drift: `npm run docs`. */
import { writeFileSync } from 'node:fs'
import { errorsPage } from './errors-page.ts'

writeFileSync('docs/errors.md', await errorsPage())
