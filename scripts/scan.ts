/** Asks the package registry for known faults of what the service is made of: `npm run scan`. */
import { spawnSync } from 'node:child_process'
import { readAudit } from './audit-answer.ts'

const { stdout } = spawnSync('npm', ['audit', '--omit=dev', '--json'], { encoding: 'utf8', timeout: 120_000 })
const { text, exitCode } = readAudit(stdout)
console.log(text)
process.exitCode = exitCode
