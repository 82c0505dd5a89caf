import { addDays, mustParseDay } from '../days/day.ts'
import type { PlaceholderValues } from './catalogue/placeholders.ts'
import { CALENDARS, sayDay } from './say-day.ts'

/** The longest way a language says a day of the year, in any calendar. */
function longestDay(language: string): string {
  const first = mustParseDay('2027-01-01')
  const said = CALENDARS.flatMap((calendar) =>
    Array.from({ length: 366 }, (_, index) => sayDay(addDays(first, index), { language, calendar })),
  )
  return said.reduce((longest, next) => (next.length > longest.length ? next : longest))
}

/** Values as long as they get in practice: names of 12 letters, places of 20, five doses at a visit. */
export function longSamples(language: string): PlaceholderValues {
  const day = longestDay(language)
  return {
    child: 'Maximiliana',
    count: 1,
    post: 'Upper Mbari Health P',
    place: 'Upper Mbari School 2',
    village: 'Upper Mbari North Si',
    day: `${day} 09:00-13:00`,
    on: day,
    next: day,
    birth: `${day} 2026`,
    until: `${day} 09:30`,
    card: '4821 7739',
    cards: Array.from({ length: 8 }, () => '4821 7739').join(', '),
    doses: 'OPV 3, PENTA 3, PCV 3, ROTA 3, FIPV 2',
    dose: 'PENTA 3',
    typed: 'PENTA 2',
    reason: 'a dose that does not count here now',
    vaccine: 'PENTA',
    vial: '3174',
    words: 'high fever and a fit last night',
    what: '4821 7739 OPV 3, PENTA 3, PCV 3, ROTA 3, FIPV 2',
    period: '2026-01-01 - 2026-12-31',
    percent: '100.0',
    reached: 10_000,
    target: 10_000,
    first: 'GAVE 4821 7739 BOPV 23/11/2026',
    second: 'GAVE 4821 7739 FIPV 23/11/2026',
    code: '482913',
    reference: '318',
    degrees: '-12.5',
    word: '4821 7739',
    understood: 'GAVE, 4821 7739, BOPV, PENTA',
  }
}
