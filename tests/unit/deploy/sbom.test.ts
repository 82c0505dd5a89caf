import { execFileSync } from 'node:child_process'
import { readFileSync } from 'node:fs'
import { z } from 'zod'

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
  licenses: z
    .array(z.union([z.object({ license: z.object({}) }), z.object({ expression: z.string() })]))
    .min(1),
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

test('lists every package that the service is made of, each with version, licence and place of origin', () => {
  const text = execFileSync('npm', ['run', '--silent', 'sbom'], { encoding: 'utf8', maxBuffer: 2 ** 26 })

  const { metadata, components, dependencies } = bom.parse(JSON.parse(text))
  const { version, ...own } = packageFile.parse(JSON.parse(readFileSync('package.json', 'utf8')))
  const versions = new Map(components.map((each) => [each.name, each.version]))
  expect(metadata.component).toEqual({ name: 'duebell', version, type: 'application' })
  for (const [name, exact] of Object.entries(own.dependencies))
    expect([name, versions.get(name)]).toEqual([name, exact])
  // A package of the service may need types itself.
  const tools = Object.keys(own.devDependencies).filter((name) => !name.startsWith('@types/'))
  expect(tools.filter((name) => versions.has(name))).toEqual([])
  const known = new Set([`duebell@${version}`, ...components.map((each) => each['bom-ref'])])
  expect(
    dependencies.flatMap(({ ref, dependsOn }) => [ref, ...dependsOn]).filter((ref) => !known.has(ref)),
  ).toEqual([])
})
