const LINE_FEED = 0x0a

/** The lines of a stream, each without its end; a last one that was not ended is given too. */
export async function* linesOf(source: AsyncIterable<Buffer>): AsyncGenerator<Buffer> {
  let rest: Buffer = Buffer.alloc(0)
  for await (const chunk of source) {
    const text = rest.length === 0 ? chunk : Buffer.concat([rest, chunk])
    let from = 0
    for (let end = text.indexOf(LINE_FEED); end !== -1; end = text.indexOf(LINE_FEED, from)) {
      yield text.subarray(from, end)
      from = end + 1
    }
    rest = text.subarray(from)
  }
  if (rest.length > 0) yield rest
}
