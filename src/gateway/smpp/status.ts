/** The values of command_status that this side gives or looks for by name (SMPP 3.4 §5.1.3). */
export const STATUS = {
  ok: 0x00,
  invalidLength: 0x02,
  invalidCommand: 0x03,
  /** The sender may try again later. */
  temporaryFault: 0x64,
  invalidTlvs: 0xc0,
} as const

/**
 * What an answer to a submit means for the part it answers. The codes are the standard's; which of them are worth
 * another try is engineering judgement, as the standard does not say.
 */
export type SubmitMeaning =
  | 'accepted'
  /** Too fast for the SMSC: the whole bind must slow down, the part was not at fault. */
  | 'congested'
  | 'try-later'
  /** This connection is of no use any more. */
  | 'rebind'
  /** Somebody must mend the account or its set-up. */
  | 'rejected-account'
  | 'rejected-number'
  | 'rejected-message'
  /** A code of the vendor's own that the account does not explain. */
  | 'unknown'

const CODES: Readonly<Record<Exclude<SubmitMeaning, 'unknown'>, readonly number[]>> = {
  accepted: [0x00],
  // RTHROTTLED, RMSGQFUL
  congested: [0x58, 0x14],
  // RSYSERR, RSUBMITFAIL, RX_T_APPN, DELIVERYFAILURE, UNKNOWNERR
  'try-later': [0x08, 0x45, 0x64, 0xfe, 0xff],
  // RINVCMDID, RINVBNDSTS, RALYBND
  rebind: [0x03, 0x04, 0x05],
  // RINVSRCADR, RBINDFAIL, RINVPASWD, RINVSYSID, RINVSERTYP, RINVSRCTON, RINVSRCNPI, RINVSYSTYP, and of 5.0:
  // service type or source not allowed
  'rejected-account': [0x0a, 0x0d, 0x0e, 0x0f, 0x15, 0x48, 0x49, 0x53, 0x100, 0x101, 0x102, 0x103],
  // RINVDSTADR, RINVNUMDESTS, RINVDLNAME, RINVDSTTON, RINVDSTNPI
  'rejected-number': [0x0b, 0x33, 0x34, 0x50, 0x51],
  // RINVMSGLEN, RINVCMDLEN, RINVPRTFLG, RINVREGDLVFLG, RINVESMCLASS, RINVREPFLAG, RINVSCHED, RINVEXPIRY,
  // RINVDFTMSGID, RX_P_APPN, RX_R_APPN, the TLV faults, RINVDCS
  'rejected-message': [
    0x01, 0x02, 0x06, 0x07, 0x43, 0x54, 0x61, 0x62, 0x63, 0x65, 0x66, 0xc0, 0xc1, 0xc2, 0xc3, 0xc4, 0x104,
  ],
}

const MEANINGS: ReadonlyMap<number, SubmitMeaning> = new Map(
  Object.entries(CODES).flatMap(([meaning, codes]) =>
    // `Object.entries` forgets the key type.
    codes.map((code) => [code, meaning as SubmitMeaning] as const),
  ),
)

/** What an SMSC says with a code of its own (0x400 to 0x4FF), told by the account. */
export type VendorMeanings = Readonly<Record<string, SubmitMeaning>>

/**
 * Reads the command_status of an answer to a submit; `vendor` is looked up first, by "0x401".
 * @example submitMeaning(0x58, {}) // 'congested'
 */
export function submitMeaning(status: number, vendor: VendorMeanings): SubmitMeaning {
  return vendor[statusText(status)] ?? MEANINGS.get(status) ?? 'unknown'
}

/** A status as people write it: 0x0b is "0x0b", 0x401 is "0x401". */
export function statusText(status: number): string {
  return `0x${status.toString(16).padStart(2, '0')}`
}

/** Refusals of a bind that more binds only make worse: accounts get locked (§5.1.3: RBINDFAIL and its kin). */
export function isHopelessBind(status: number): boolean {
  return MEANINGS.get(status) === 'rejected-account'
}
