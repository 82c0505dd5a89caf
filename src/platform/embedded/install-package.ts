import { findProgram, isRoot, type Report, run, succeeds } from './commands.ts'

/**
 * Installs a package of a Debian-like system, where that is possible without asking for a password.
 * Returns false where it is not.
 */
export async function installPackage(name: string, report: Report): Promise<boolean> {
  const asRoot = await rootPrefix()
  if (asRoot === undefined || (await findProgram('apt-get')) === undefined) return false
  report(`installing ${name} from the system's packages (a minute or so)`)
  const apt = [...asRoot, 'env', 'DEBIAN_FRONTEND=noninteractive', 'apt-get', '-qq']
  const isInstalled =
    (await succeeds('env', [...apt, 'update'])) &&
    (await succeeds('env', [...apt, 'install', '--yes', '--no-install-recommends', name]))
  if (isInstalled) await stopItsService(asRoot, name)
  return isInstalled
}

/** What to put before a command that needs root: nothing, or sudo where it asks no password. */
async function rootPrefix(): Promise<string[] | undefined> {
  if (isRoot()) return []
  return (await succeeds('sudo', ['-n', 'true'])) ? ['sudo', '-n'] : undefined
}

/** Some packages start a server of their own on the usual port; only the program was wanted. */
async function stopItsService(asRoot: readonly string[], name: string): Promise<void> {
  const unit = `${name}.service`
  if (await succeeds('systemctl', ['is-active', unit])) {
    await run('env', [...asRoot, 'systemctl', 'disable', '--now', unit])
  }
}
