import { openVault, SealError } from '../../../src/store/sealing/vault.ts'

const OLD = Buffer.alloc(32, 1)
const NEW = Buffer.alloc(32, 2)
const vault = openVault([NEW])
const NUMBER = '+447700900123'

describe('the vault', () => {
  test.each([
    ['text', 'Asha Temba'],
    ['text', ''],
    ['text', 'नेहा 😀'],
    ['number', NUMBER],
  ] as const)('opens what it sealed: %s %s', (kind, value) => {
    const sealed = vault.seal(kind, value)
    expect(sealed).toMatch(/^sealed:[nt]:[0-9a-f]{8}:[\w-]+$/)
    expect(sealed).not.toContain(value || 'never')
    expect(vault.open(sealed)).toBe(value)
  })

  test('gives JSON back as the value it was', () => {
    expect(vault.open(vault.seal('json', '{"name":"Asha"}'))).toEqual({ name: 'Asha' })
  })

  test('seals a number to the same text each time, so that it can be found, and a name never twice alike', () => {
    expect(vault.seal('number', NUMBER)).toBe(vault.seal('number', NUMBER))
    expect(vault.seal('number', NUMBER)).not.toBe(vault.seal('number', '+447700900124'))
    expect(vault.seal('text', 'Asha')).not.toBe(vault.seal('text', 'Asha'))
  })

  test('another key seals a number to another text: whoever has the tables cannot try numbers out', () => {
    expect(openVault([OLD]).seal('number', NUMBER)).not.toBe(vault.seal('number', NUMBER))
  })

  test('opens what former keys sealed, and knows a number in each of its forms', () => {
    const both = openVault([NEW, OLD])
    expect(both.open(openVault([OLD]).seal('text', 'Asha'))).toBe('Asha')
    expect(both.formsOf(NUMBER)).toEqual([
      vault.seal('number', NUMBER),
      openVault([OLD]).seal('number', NUMBER),
    ])
  })

  test('refuses what was changed, and what a missing key sealed', () => {
    const sealed = vault.seal('text', 'Asha Temba')
    const changed = sealed.slice(0, -1) + (sealed.endsWith('A') ? 'B' : 'A')
    expect(() => vault.open(changed)).toThrow(SealError)
    // A number's text cannot pass for a name's.
    expect(() => vault.open(vault.seal('number', NUMBER).replace('sealed:n', 'sealed:t'))).toThrow(SealError)
    expect(() => openVault([OLD]).open(sealed)).toThrow(/sealed with the key [0-9a-f]{8}, which is not/)
  })

  test('leaves everything else as it is', () => {
    expect(vault.open('sealed: with a kiss')).toBe('sealed: with a kiss')
  })

  test.each([[[]], [[Buffer.alloc(31)]]])('needs keys of 32 octets', (keys) => {
    expect(() => openVault(keys)).toThrow(RangeError)
  })
})
