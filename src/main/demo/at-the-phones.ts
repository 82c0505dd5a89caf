import type { District } from '../../core/model.ts'
import type { Chance } from '../../core/chance.ts'
import type { HandsetGateway } from '../../gateway/handset/handset-gateway.ts'
import type { Service } from '../service.ts'
import type { Narrator } from './narrator.ts'
import type { DemoChild, DemoVillage } from './scenario.ts'
import type { StoryClock } from './story-clock.ts'

export interface StoryParts {
  readonly service: Service
  readonly handset: HandsetGateway
  readonly clock: StoryClock
  readonly district: District
  readonly villages: readonly DemoVillage[]
  readonly children: readonly DemoChild[]
  /** The vaccinator's number of each village. */
  readonly vaccinatorOf: ReadonlyMap<string, string>
  readonly manager: string
  readonly chance: Chance
  readonly narrator: Narrator
}

/** Texts from a phone, as its owner would; a text that is told is followed by its reply. */
export async function write(
  parts: StoryParts,
  from: string,
  body: string,
  weight: 'aside' | 'always-told' = 'aside',
): Promise<void> {
  const isTold = parts.narrator.textFrom(from, body, weight)
  await parts.handset.text(from, body)
  if (isTold) await settled(parts)
}

/** Waits until every text is answered and every answer has arrived. */
export async function settled({ service, handset }: StoryParts): Promise<void> {
  await service.whenIdle()
  await handset.settled()
}

/** Sweeps until nothing more is due. */
export async function sendAll(parts: StoryParts): Promise<void> {
  for (;;) {
    const { lanes, texts } = await parts.service.sweep()
    await settled(parts)
    if (lanes + texts === 0) return
  }
}
