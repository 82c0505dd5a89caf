import { z } from 'zod'

const points = z.number().min(-20).max(20)
const days = z.int().min(0).max(366)
const share = z.number().min(0).max(1)
const words = z.array(z.string().min(1))

/** The shape of src/data/matching/doubles.json: what speaks for two records being of one child, and how much. */
export const doubleRulesSchema = z.strictObject({
  source: z.string(),
  /** Pairs with this many points or more wait for a person. */
  reviewFrom: points,
  /** The first row whose `from` a likeness of names reaches gives the points. */
  name: z.array(z.strictObject({ from: share, points })).min(1),
  /** Added where one name lacks words of the other. */
  namePart: points,
  /** In place of the points of the name where one child has no name yet. */
  unnamed: points,
  birth: z.strictObject({
    same: points,
    /** Day and month changed places. */
    swapped: points,
    /** Within `nearDays`. */
    near: points,
    /** The same day of the year before or after. */
    otherYear: points,
    /** Within `monthDays`. */
    month: points,
    /** Within `estimatedDays`, where one birth date is estimated. */
    estimated: points,
    other: points,
  }),
  nearDays: days,
  monthDays: days,
  estimatedDays: days,
  village: z.strictObject({ same: points, other: points }),
  phone: z.strictObject({ shared: points, other: points }),
  sex: z.strictObject({ same: points, other: points }),
  /** Children of one phone or village born within so many days are twins, when sex or name tells them apart. */
  twinDays: days,
  twinNameBelow: share,
  /** Names that are given to twins together. */
  twinNames: z.array(words.length(2)),
  /** Words that stand for a name not given yet. */
  unnamedWords: words,
  /** Two doses of one vaccine closer than this are perhaps one dose reported twice. */
  sameDoseWithinDays: days,
})

export type DoubleRules = z.infer<typeof doubleRulesSchema>
