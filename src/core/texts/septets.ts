/** Packing of septets into octets, least significant bit first (3GPP TS 23.038 §6.1.2). */

const CARRIAGE_RETURN = 0x0d

/** Packs for a text message; `fillBits` (0 to 6) zero bits stand first, after a user data header. */
export function packSeptets(septets: Uint8Array, fillBits = 0): Uint8Array {
  const octets = new Uint8Array(Math.ceil((septets.length * 7 + fillBits) / 8))
  septets.forEach((septet, index) => {
    const bit = index * 7 + fillBits
    const at = bit >> 3
    const shifted = (septet & 0x7f) << (bit & 7)
    octets[at] = (octets[at] ?? 0) | (shifted & 0xff)
    if (shifted > 0xff) octets[at + 1] = shifted >> 8
  })
  return octets
}

/** The reverse of `packSeptets`: `count` septets after `fillBits` bits. */
export function unpackSeptets(octets: Uint8Array, count: number, fillBits = 0): Uint8Array {
  return Uint8Array.from({ length: count }, (_, index) => {
    const bit = index * 7 + fillBits
    const at = bit >> 3
    return ((((octets[at + 1] ?? 0) << 8) | (octets[at] ?? 0)) >> (bit & 7)) & 0x7f
  })
}

/**
 * Packs for USSD: seven spare bits at the end hold a carriage return, since zeros would show as "@"; a text that
 * itself ends so on an octet boundary gets one more (TS 23.038 §6.1.2.3.1).
 */
export function packScreen(septets: Uint8Array): Uint8Array {
  const hasSpareSeptet = septets.length % 8 === 7
  const endsInReturn = septets.length % 8 === 0 && septets.at(-1) === CARRIAGE_RETURN
  return packSeptets(
    hasSpareSeptet || endsInReturn ? Uint8Array.from([...septets, CARRIAGE_RETURN]) : septets,
  )
}

/** The reverse of `packScreen`; drops a padding carriage return. */
export function unpackScreen(octets: Uint8Array): Uint8Array {
  const septets = unpackSeptets(octets, Math.floor((octets.length * 8) / 7))
  const isPadded = septets.length % 8 === 0 && septets.at(-1) === CARRIAGE_RETURN
  return isPadded ? septets.subarray(0, -1) : septets
}
