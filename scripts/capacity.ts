/** What a number of children asks of the service: `npx tsx scripts/capacity.ts`. docs/scaling.md says where the figures come from. */

/** Texts to a family for each child and year of its first two years; `duebell simulate`, default policy. */
const TEXTS_A_CHILD_YEAR = 13.6
const PARTS_A_TEXT = 1.48
const REPORTS_A_CHILD_YEAR = 4.2
/** Children under two among those under five. */
const SHARE_UNDER_TWO = 0.4
/** Days of a year on which texts leave, and the hours of such a day. */
const SENDING_DAYS = 313
const SENDING_HOURS = 11
/** The busiest hour against the mean one. */
const PEAK = 6
/** Reminders that two cores hand over in a second, all rules asked and the text sealed. */
const NODE_RATE = 2_600
/** Texts a second of one ordinary account with a network. */
const ACCOUNT_RATE = 50

const HEAD = [
  'under five',
  'texts a day',
  'parts a year',
  'peak a second',
  'accounts',
  'senders',
  'reports a second',
]

function demand(underFive: number): number[] {
  const texted = underFive * SHARE_UNDER_TWO
  const textsADay = (texted * TEXTS_A_CHILD_YEAR) / SENDING_DAYS
  const peak = (textsADay / (SENDING_HOURS * 3600)) * PEAK
  return [
    underFive,
    textsADay,
    texted * TEXTS_A_CHILD_YEAR * PARTS_A_TEXT,
    peak,
    Math.ceil(peak / ACCOUNT_RATE),
    Math.ceil(peak / NODE_RATE),
    ((texted * REPORTS_A_CHILD_YEAR) / (SENDING_DAYS * SENDING_HOURS * 3600)) * PEAK,
  ]
}

const rows = [10_000, 1_000_000, 10_000_000, 30_000_000, 100_000_000].map((underFive) =>
  demand(underFive).map((value) => (value < 10 ? value.toFixed(2) : Math.round(value).toLocaleString('en'))),
)
for (const row of [HEAD, ...rows]) process.stdout.write(`${row.map((cell) => cell.padStart(18)).join('')}\n`)
