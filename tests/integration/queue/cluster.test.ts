import { Redis } from 'ioredis'
import { bulkQueue, keyPrefix, TEXTS_IN, urgentQueue } from '../../../src/queue/jobs.ts'
import { startRedisCluster } from '../../support/redis-cluster.ts'
import { runningService } from '../../support/running-service.ts'
import { newDistrict, phoneOf } from '../../support/test-district.ts'

const cluster = await startRedisCluster()
const service = await runningService('2026-03-04T10:00+03:00', { url: cluster.url, isCluster: true })
// After the service: hooks run in the order in which they were defined.
afterAll(cluster.stop)
const queues = [TEXTS_IN, urgentQueue(service.handset.name), bulkQueue(service.handset.name)]
const { ask, inbox, liveUntil, queuePrefix } = service

/** CRC-16/XMODEM of the hash tag, modulo 16384: Redis Cluster specification, "Key distribution model". */
function slotOf(tag: string): number {
  let sum = 0
  for (const octet of Buffer.from(tag)) {
    sum ^= octet << 8
    for (let bit = 0; bit < 8; bit += 1)
      sum = (sum & 0x8000) === 0 ? (sum << 1) & 0xffff : ((sum << 1) ^ 0x1021) & 0xffff
  }
  return sum % 16_384
}

describe('on a Redis Cluster of three nodes', () => {
  test('a child is reminded, vaccinated by text and advised, as on one server', async () => {
    const district = await newDistrict(service)
    const child = await district.enrol({ birthDate: '2026-01-20' })

    await liveUntil('2026-03-09T08:00+03:00')
    await liveUntil('2026-03-10T11:00+03:00')
    const reply = await ask(district.vaccinator, `GAVE ${child.cardNumber} ALL`)
    await liveUntil('2026-03-10T11:00+03:00')

    expect(reply).toMatch(/recorded for Tue 10 Mar\. Next visit: Tue 7 Apr, Ford\.$/)
    expect(inbox(phoneOf(child)).map((text) => /expect|after the vaccines/.exec(text)?.[0])).toEqual([
      'expect',
      'after the vaccines',
    ])
  })

  test('all keys of a queue lie on the node that its hash tag names', async () => {
    const keys = await cluster.keys()
    const tagsOf = (node: readonly string[]) => new Set(node.map((key) => /^\{([^}]*)\}/.exec(key)?.[1]))
    const held = keys.map(tagsOf)

    for (const queue of queues) {
      const tag = keyPrefix(queuePrefix, queue).slice(1, -1)
      const holders = [0, 1, 2].filter((node) => held[node]?.has(tag))
      // Each node has a third of the slots.
      expect(holders).toEqual([[5461, 10_922].filter((start) => slotOf(tag) >= start).length])
    }
    expect(held.flatMap((tags) => [...tags])).not.toContain(undefined)
  })

  test('the slot of a tag is the one that the specification gives', async () => {
    const redis = new Redis(cluster.url)
    // The specification's own example: CRC16 of "123456789" is 0x31C3.
    expect(slotOf('123456789')).toBe(0x31_c3 % 16_384)
    const slot = await redis.cluster('KEYSLOT', `{${queuePrefix}-${TEXTS_IN}}:${TEXTS_IN}:wait`)
    await redis.quit()
    expect(slot).toBe(slotOf(`${queuePrefix}-${TEXTS_IN}`))
  })
})
