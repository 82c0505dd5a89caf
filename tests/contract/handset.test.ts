import { handsetGateway } from '../../src/gateway/handset/handset-gateway.ts'
import { describeGateway } from './gateway.contract.ts'
import { quietLog, stillClock, type Network } from './network.ts'

function handsetNetwork(): Network {
  let made = 0
  const keyOfLast = new Map<string, string>()
  const handset = handsetGateway({
    name: 'handset',
    shortCode: '70900',
    clock: stillClock,
    newId: () => `id-${String((made += 1))}`,
    log: quietLog,
  })
  return {
    gateway: handset,
    treat: handset.treat,
    inbox: (number) => handset.inbox(number).map((text) => text.body),
    async text(from, body, again) {
      const key = (again && keyOfLast.get(body)) ?? `key-${String((made += 1))}`
      keyOfLast.set(body, key)
      return handset.text(from, body, key).then(
        () => true,
        () => false,
      )
    },
    dial: handset.dial,
    press: handset.press,
    settled: handset.settled,
    stop: () => Promise.resolve(),
  }
}

describeGateway('handset', () => Promise.resolve(handsetNetwork()))
