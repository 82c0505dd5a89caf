/** The units of scripts/systemd, by systemd's own check where it is installed, and by what they promise. */
import { spawnSync } from 'node:child_process'
import { cpSync, mkdtempSync, readdirSync, readFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'

const FOLDER = 'scripts/systemd'
const units = readdirSync(FOLDER)
const services = units.filter((name) => name.endsWith('.service'))

/** Each setting with all its values, in the order of the file. */
function settingsOf(unit: string): Map<string, string[]> {
  const settings = new Map<string, string[]>()
  for (const line of readFileSync(join(FOLDER, unit), 'utf8').split('\n')) {
    const [, name, value] = /^(\w+)=(.*)$/.exec(line) ?? []
    if (name !== undefined && value !== undefined) settings.set(name, [...(settings.get(name) ?? []), value])
    // Everything else is a comment, a section or nothing: a line that systemd would skip unseen is a fault.
    else expect(line).toMatch(/^(#.*|\[(Unit|Service|Timer|Install)\]|)$/)
  }
  return settings
}

describe.each(services)('%s', (unit) => {
  const settings = settingsOf(unit)
  const command = settings.get('ExecStart')?.[0] ?? ''

  test('runs as nobody special, unable to change the machine, within limits', () => {
    expect(settings.get('User')).toEqual(['duebell'])
    expect(settings.get('CapabilityBoundingSet')).toEqual([''])
    for (const shut of [
      'NoNewPrivileges',
      'ProtectHome',
      'PrivateTmp',
      'PrivateDevices',
      'RestrictNamespaces',
    ])
      expect([shut, settings.get(shut)]).toEqual([shut, ['yes']])
    expect(settings.get('ProtectSystem')).toEqual(['strict'])
    expect(settings.get('MemoryMax')?.[0]).toMatch(/^\d+M$/)
  })

  test('starts a command that there is, in production, from the settings of one file', () => {
    expect(command).toMatch(/^\/usr\/bin\/env (HTTP_PORT=%i )?node dist\/main\/duebell\.js (serve|backup)\b/)
    expect(settings.get('Environment')).toContain('NODE_ENV=production')
    expect(settings.get('EnvironmentFile')).toEqual(['/etc/duebell/environment'])
  })

  test('is started again after a fault, not after a wrong setting; a backup runs once', () => {
    const isServing = command.includes(' serve ')
    expect(settings.get('Restart')).toEqual(isServing ? ['always'] : undefined)
    // What `duebell` ends with where the environment is wrong.
    expect(settings.get('RestartPreventExitStatus')).toEqual(isServing ? ['2'] : undefined)
    expect(settings.get('Type')).toEqual([isServing ? 'exec' : 'oneshot'])
  })
})

test('the units together do all the work, each with time to finish it', () => {
  const commands = services.map((unit) => settingsOf(unit).get('ExecStart')?.[0] ?? '')
  const roles = commands.flatMap((command) => /--roles (\S+)/.exec(command)?.[1]?.split(',') ?? [])

  expect(roles.sort()).toEqual(['api', 'planner', 'receiver', 'sender'])
  for (const unit of services.filter((name) => name.includes('@')))
    expect(Number(settingsOf(unit).get('TimeoutStopSec')?.[0])).toBeGreaterThanOrEqual(60)
  expect(units).toContain('duebell-backup.timer')
})

const hasSystemd = spawnSync('systemd-analyze', ['--version']).status === 0
if (!hasSystemd)
  process.stderr.write('systemd-analyze is not installed here: its own check of the units is left out\n')

test('systemd finds no fault in them, where it is installed', () => {
  if (!hasSystemd) return
  const folder = mkdtempSync(join(tmpdir(), 'duebell-units-'))
  // Templates are looked at as one of their instances.
  const instances = units.map((unit) => unit.replace('@.', '@8080.'))
  for (const [place, unit] of units.entries())
    cpSync(join(FOLDER, unit), join(folder, instances[place] ?? ''))

  for (const instance of instances) {
    const { status, stderr } = spawnSync('systemd-analyze', ['verify', '--man=no', join(folder, instance)], {
      encoding: 'utf8',
    })
    expect([instance, status, stderr.split('\n').filter((line) => line.includes('duebell'))]).toEqual([
      instance,
      0,
      [],
    ])
  }
})
