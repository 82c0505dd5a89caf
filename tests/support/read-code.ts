import jsqr from 'jsqr'

/** Pixels of one square of the code. */
const SCALE = 4

/** What a camera would read off a QR code that is drawn as an SVG path of unit squares. */
export function readCode(markup: string): string | undefined {
  const size = Number(/viewBox="0 0 (\d+) \d+"/.exec(markup)?.[1])
  const path = /<path d="([^"]+)"/.exec(markup)?.[1] ?? ''
  const width = size * SCALE
  const pixels = new Uint8ClampedArray(width * width * 4).fill(255)
  let [x, y] = [0, 0]
  for (const [, command, first, second] of path.matchAll(/([Mm])(-?\d+)[ ,]?(-?\d+)h1v1[Hh]-?\d+Z/g)) {
    const [dx, dy] = [Number(first), Number(second)]
    ;[x, y] = command === 'M' ? [dx, dy] : [x + dx, y + dy]
    for (let row = y * SCALE; row < (y + 1) * SCALE; row += 1)
      pixels.fill(0, (row * width + x * SCALE) * 4, (row * width + (x + 1) * SCALE) * 4)
  }
  for (let at = 3; at < pixels.length; at += 4) pixels[at] = 255
  return jsqr.default(pixels, width, width)?.data
}
