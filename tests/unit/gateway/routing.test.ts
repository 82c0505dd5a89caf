import type { Gateway, GatewayHandlers, SubmitAnswer } from '../../../src/app/ports.ts'
import { gatewayFor, routedGateway } from '../../../src/gateway/routing.ts'

interface Member extends Gateway {
  readonly handlers: () => GatewayHandlers
  readonly sent: string[]
}

function member(
  name: string,
  more: Partial<Gateway> = {},
  answer: SubmitAnswer = { kind: 'accepted', providerIds: ['7'] },
): Member {
  let handlers: GatewayHandlers | undefined
  const sent: string[] = []
  return {
    name,
    sent,
    isIdempotent: true,
    open: (given) => Promise.resolve(void (handlers = given)),
    submit: ({ to }) => Promise.resolve((sent.push(to), answer)),
    close: () => Promise.resolve(void (handlers = undefined)),
    handlers() {
      if (handlers === undefined) throw new Error('not open')
      return handlers
    },
    ...more,
  }
}

const text = (to: string) => ({ id: 'm1', to, body: 'Hi', validUntil: null, urgent: false })

describe('gatewayFor', () => {
  const [north, south, rest] = [member('north'), member('south'), member('rest')]
  const routes = [
    { prefixes: ['+447', '+4420'], gateway: north },
    { prefixes: ['+44770'], gateway: south },
    { prefixes: [''], gateway: rest },
  ]

  test.each([
    ['+447700900123', 'south'],
    ['+447911123456', 'north'],
    ['+442079460000', 'north'],
    ['+12025550123', 'rest'],
  ])('finds the longest prefix of %s: %s', (number, name) => {
    expect(gatewayFor(routes, number)?.name).toBe(name)
  })

  test('finds none where none was given', () => {
    expect(gatewayFor(routes.slice(0, 2), '+12025550123')).toBeUndefined()
  })
})

describe('routedGateway', () => {
  test('sends by prefix and names the member in the provider’s ids', async () => {
    const [north, south] = [member('north'), member('south')]
    const both = routedGateway('both', [
      { prefixes: ['+447'], gateway: north },
      { prefixes: ['+1'], gateway: south },
    ])

    expect(await both.submit(text('+447700900123'))).toEqual({ kind: 'accepted', providerIds: ['north/7'] })
    expect(await both.submit(text('+12025550123'))).toEqual({ kind: 'accepted', providerIds: ['south/7'] })
    expect(await both.submit(text('+8612345678'))).toMatchObject({ kind: 'rejected', fault: 'number' })
    expect([north.sent, south.sent]).toEqual([['+447700900123'], ['+12025550123']])
  })

  test('passes arrivals on under its own name, ids told apart by member', async () => {
    const north = member('north')
    const both = routedGateway('both', [{ prefixes: [''], gateway: north }])
    const seen: object[] = []
    await both.open({
      onText: (given) => Promise.resolve(void seen.push(given)),
      onReceipt: (given) => Promise.resolve(void seen.push(given)),
      onScreen: (given) => Promise.resolve((seen.push(given), { text: 'x', ends: true })),
    })

    const handlers = north.handlers()
    await handlers.onText({ gateway: 'north', key: 'k', from: '+1', to: '2', body: 'b' })
    await handlers.onReceipt({
      gateway: 'north',
      providerId: '7',
      state: 'delivered',
      reason: null,
      at: null,
    })
    await handlers.onScreen({ gateway: 'north', dialogue: 'd', from: '+1', typed: '1', isFirst: true })

    expect(seen).toMatchObject([
      { gateway: 'both', key: 'north/k' },
      { gateway: 'both', providerId: 'north/7' },
      { gateway: 'both', dialogue: 'north/d' },
    ])
  })

  test('is only as good as its weakest member', () => {
    const routes = (more: Partial<Gateway>) => [
      { prefixes: ['+1'], gateway: member('a') },
      { prefixes: ['+2'], gateway: member('b', more) },
    ]

    expect(routedGateway('x', routes({})).isIdempotent).toBe(true)
    expect(routedGateway('x', routes({ isIdempotent: false })).isIdempotent).toBe(false)
    expect(routedGateway('x', routes({})).isUp?.()).toBe(true)
    expect(routedGateway('x', routes({ isUp: () => false })).isUp?.()).toBe(false)
  })
})
