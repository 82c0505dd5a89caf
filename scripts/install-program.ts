import { findProgram } from '../src/platform/embedded/commands.ts'
import { installPackage } from '../src/platform/embedded/install-package.ts'

/*
 * Makes sure that a program is there, from the system's package of the same name where that needs no password:
 * `tsx scripts/install-program.ts chromium`. Ends well when the program is there.
 */
const [name = ''] = process.argv.slice(2)
const report = (line: string): void => {
  process.stderr.write(`${line}\n`)
}
const isThere = (await findProgram(name)) !== undefined || (await installPackage(name, report))
process.exitCode = isThere ? 0 : 1
