import { kilometresBetween, walkingRound } from '../../../src/core/places/walking-round.ts'

const at = (name: string, latitude: number | null, longitude: number | null) => ({
  name,
  latitude,
  longitude,
})

describe('kilometresBetween', () => {
  test('a degree of a meridian is 111.2 km on a sphere of the mean radius (IUGG 1980: 6371.0088 km × π ÷ 180)', () => {
    expect(kilometresBetween({ latitude: 0, longitude: 0 }, { latitude: 1, longitude: 0 })).toBeCloseTo(
      111.195,
      3,
    )
  })

  test('a degree of longitude at 60° is half as long as at the equator', () => {
    const atEquator = kilometresBetween({ latitude: 0, longitude: 10 }, { latitude: 0, longitude: 11 })
    const at60 = kilometresBetween({ latitude: 60, longitude: 10 }, { latitude: 60, longitude: 11 })

    expect(at60 / atEquator).toBeCloseTo(0.5, 4)
  })

  test('crosses the 180th meridian the short way', () => {
    expect(
      kilometresBetween({ latitude: 0, longitude: 179.5 }, { latitude: 0, longitude: -179.5 }),
    ).toBeCloseTo(111.195, 3)
  })
})

describe('walkingRound', () => {
  test('goes from the first place to the nearest not yet seen', () => {
    const stops = [at('start', 0, 0), at('far', 0, 9), at('near', 0, 1), at('next', 0, 3)]

    expect(walkingRound(stops).map(({ name }) => name)).toEqual(['start', 'near', 'next', 'far'])
  })

  test('keeps places without a position for the end, in the order given', () => {
    const stops = [at('b', null, null), at('far', 5, 5), at('a', null, 3), at('near', 5, 6)]

    expect(walkingRound(stops).map(({ name }) => name)).toEqual(['far', 'near', 'b', 'a'])
  })

  test('names each place once, none where there is none', () => {
    expect(walkingRound([])).toEqual([])
    const twice = [at('a', 1, 1), at('b', 1, 1)]
    expect(walkingRound(twice)).toEqual(twice)
  })
})
