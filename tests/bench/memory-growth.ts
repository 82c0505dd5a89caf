import { execFile } from 'node:child_process'
import { fileURLToPath } from 'node:url'
import { promisify } from 'node:util'
import { measured, median } from './measurement.ts'
import type { Measurement } from './measurement.ts'

const PLANNER = fileURLToPath(new URL('plan-many.ts', import.meta.url))

/** The most memory a process holds that plans a million children one after the other, to that for 100,000; medians. */
export async function memoryGrowth(rounds: number): Promise<Measurement> {
  const [ours, baseline]: [number[], number[]] = [[], []]
  for (let round = 0; round < rounds; round += 1) {
    ours.push(await memoryFor(1_000_000))
    baseline.push(await memoryFor(100_000))
  }
  const figures = { ours: median(ours), baseline: median(baseline), n: 1_000_000, unit: 'kB held at most' }
  return measured({ name: 'memory-growth', ...figures }, 'at-most', 1.2)
}

async function memoryFor(children: number): Promise<number> {
  const { stdout } = await promisify(execFile)(process.execPath, [
    '--import',
    'tsx',
    PLANNER,
    String(children),
  ])
  return Number(stdout)
}
