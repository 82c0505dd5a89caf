import type { Gateway, GatewayHandlers, Member, SubmitAnswer } from '../app/ports.ts'

/**
 * The gateway for a number: the one with the longest prefix that fits, the first of several.
 * @example gatewayFor([{ prefixes: ['+44'], gateway }], '+447700900123') // gateway
 */
export function gatewayFor(routes: readonly Member[], number: string): Gateway | undefined {
  let best: { readonly gateway: Gateway; readonly length: number } | undefined
  for (const { prefixes, gateway } of routes) {
    for (const prefix of prefixes) {
      const isBetter = number.startsWith(prefix) && prefix.length > (best?.length ?? -1)
      if (isBetter) best = { gateway, length: prefix.length }
    }
  }
  return best?.gateway
}

/**
 * Several gateways as one, chosen by the number's prefix. What the members call a message, a dialogue or an
 * arrival gets the member's name in front, so that two members cannot mean different things by one id.
 */
export function routedGateway(name: string, routes: readonly Member[]): Gateway {
  const members = [...new Set(routes.map((route) => route.gateway))]

  function handlersOf(member: Gateway, handlers: GatewayHandlers): GatewayHandlers {
    const named = (id: string): string => `${member.name}/${id}`
    return {
      onText: (text) => handlers.onText({ ...text, gateway: name, key: named(text.key) }),
      onReceipt: (receipt) =>
        handlers.onReceipt({ ...receipt, gateway: name, providerId: named(receipt.providerId) }),
      onScreen: (request) =>
        handlers.onScreen({ ...request, gateway: name, dialogue: named(request.dialogue) }),
    }
  }

  function withName(member: Gateway, answer: SubmitAnswer): SubmitAnswer {
    if (answer.kind !== 'accepted') return answer
    return { ...answer, providerIds: answer.providerIds.map((id) => `${member.name}/${id}`) }
  }

  return {
    name,
    isIdempotent: members.every((member) => member.isIdempotent),
    members: routes,
    followReceipts(providerIds) {
      for (const member of members) {
        const start = `${member.name}/`
        const own = providerIds.filter((id) => id.startsWith(start)).map((id) => id.slice(start.length))
        member.followReceipts?.(own)
      }
    },
    async open(handlers) {
      await Promise.all(members.map((member) => member.open(handlersOf(member, handlers))))
    },
    async submit(text) {
      const member = gatewayFor(routes, text.to)
      if (member === undefined)
        return { kind: 'rejected', fault: 'number', reason: 'no route to this number' }
      return withName(member, await member.submit(text))
    },
    isUp: () => members.every((member) => member.isUp?.() ?? true),
    async close() {
      await Promise.all(members.map((member) => member.close()))
    },
  }
}
