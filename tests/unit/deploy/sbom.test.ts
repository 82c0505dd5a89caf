import { execFileSync } from 'node:child_process'
import { readFileSync } from 'node:fs'
import { z } from 'zod'

const licence = z.union([
  z.object({ license: z.object({ id: z.string() }) }).transform(({ license }) => license.id),
  z.object({ expression: z.string() }).transform(({ expression }) => expression),
])

/** The fields of CycloneDX 1.5 that a scanner needs (ECMA-424, earlier edition). */
const component = z.object({
  'bom-ref': z.string(),
  type: z.literal('library'),
  name: z.string(),
  version: z.string().regex(/^\d+\.\d+\.\d+/),
  purl: z.string().regex(/^pkg:npm\/(%40[\w.-]+\/)?[\w.-]+@\d/),
  hashes: z
    .array(z.object({ alg: z.literal('SHA-512'), content: z.string().regex(/^[0-9a-f]{128}$/) }))
    .min(1),
  licenses: z.array(licence).min(1),
})
const bom = z.object({
  bomFormat: z.literal('CycloneDX'),
  specVersion: z.literal('1.5'),
  serialNumber: z.string().regex(/^urn:uuid:[0-9a-f-]{36}$/),
  metadata: z.object({ component: z.object({ name: z.string(), version: z.string(), type: z.string() }) }),
  components: z.array(component),
  dependencies: z.array(z.object({ ref: z.string(), dependsOn: z.array(z.string()) })),
})
const packageFile = z.object({
  version: z.string(),
  dependencies: z.record(z.string(), z.string()),
  devDependencies: z.record(z.string(), z.string()),
})

const made = bom.parse(
  JSON.parse(execFileSync('npm', ['run', '--silent', 'sbom'], { encoding: 'utf8', maxBuffer: 2 ** 26 })),
)

test('lists every package that the service is made of, each with version, licence and place of origin', () => {
  const { metadata, components, dependencies } = made
  const { version, ...own } = packageFile.parse(JSON.parse(readFileSync('package.json', 'utf8')))
  // One package may be there in two versions, one of them for another package.
  const listed = new Set(components.map((each) => `${each.name} ${each.version}`))
  const names = new Set(components.map((each) => each.name))
  expect(metadata.component).toEqual({ name: 'duebell', version, type: 'application' })
  const needed = Object.entries(own.dependencies).map(([name, exact]) => `${name} ${exact}`)
  expect(needed.filter((each) => !listed.has(each))).toEqual([])
  // A package of the service may need types itself.
  const tools = Object.keys(own.devDependencies).filter((name) => !name.startsWith('@types/'))
  expect(tools.filter((name) => names.has(name))).toEqual([])
  const known = new Set([`duebell@${version}`, ...components.map((each) => each['bom-ref'])])
  expect(
    dependencies.flatMap(({ ref, dependsOn }) => [ref, ...dependsOn]).filter((ref) => !known.has(ref)),
  ).toEqual([])
})

/** Open licences (approved by the Open Source Initiative) under which a programme may run and change all of it. */
const OPEN = ['MIT', 'Apache-2.0', 'ISC', 'BSD-3-Clause', '0BSD', 'BlueOak-1.0.0']

/** Of a choice, `(MIT OR Apache-2.0)`, one is enough; every other expression of SPDX has to be looked at by a person. */
const isOpen = (written: string): boolean =>
  written
    .replace(/^\((.*)\)$/, '$1')
    .split(' OR ')
    .some((each) => OPEN.includes(each))

test('every package is under an open licence', () => {
  const licences = made.components.flatMap(({ licenses }) => licenses)

  expect(licences.filter((each) => !isOpen(each))).toEqual([])
  expect(['MIT AND Closed-1.0', 'Closed-1.0', 'UNLICENSED'].filter(isOpen)).toEqual([])
})

const lock = z.object({
  packages: z.record(
    z.string(),
    z.object({
      integrity: z.string().optional(),
      resolved: z.string().optional(),
      inBundle: z.boolean().optional(),
    }),
  ),
})

test('every package is pinned by its digest and fetched from nowhere else, so that a cache of them builds without a network', () => {
  const { packages } = lock.parse(JSON.parse(readFileSync('package-lock.json', 'utf8')))

  for (const [path, { integrity, resolved, inBundle = false }] of Object.entries(packages)) {
    // Ourselves, and what comes inside another package.
    if (path === '' || inBundle) continue
    expect([path, integrity]).toEqual([path, expect.stringMatching(/^sha512-/)])
    expect([path, resolved]).toEqual([path, undefined])
  }
})
