import type { Day } from '../days/day.ts'
import { forecast } from './forecast.ts'
import type { ChildFacts } from './forecast-types.ts'
import type { Schedule } from './schedule.ts'

/**
 * Which version of a schedule a child follows on a day: the newest in force that takes the child in.
 * A child born under a version always follows it; one born before switches if the version's adoption rule
 * says so of what the child had had when it came into force. The oldest version takes in everyone.
 */
export function scheduleFor(versions: readonly Schedule[], child: ChildFacts, on: Day): Schedule | undefined {
  const inForce = versions
    .filter(({ effectiveOn }) => effectiveOn <= on)
    .toSorted((one, other) => other.effectiveOn - one.effectiveOn)
  return inForce.find((version) => takesIn(version, child)) ?? inForce.at(-1)
}

function takesIn(version: Schedule, child: ChildFacts): boolean {
  const { adoption, effectiveOn } = version
  if (child.birthOn >= effectiveOn) return true
  switch (adoption.kind) {
    case 'everyone':
      return true
    case 'born-from':
      return child.birthOn >= adoption.day
    case 'without':
      return !hadBy(version, child, adoption)
  }
}

/** Whether a dose had been taken when a version came into force. */
function hadBy(
  version: Schedule,
  child: ChildFacts,
  { series, dose }: { series: string; dose: number },
): boolean {
  const given = child.given.filter(({ on }) => on < version.effectiveOn)
  return forecast(version, { ...child, given }, version.effectiveOn).given.some(({ counts }) =>
    counts.some((verdict) => verdict.series === series && verdict.dose === dose && verdict.valid),
  )
}
