import { cString, integer, shortMessage, type Field } from './pdu-fields.ts'

const BIND = {
  systemId: cString(16),
  password: cString(9),
  systemType: cString(13),
  interfaceVersion: integer(1),
  addressTon: integer(1),
  addressNpi: integer(1),
  addressRange: cString(41),
}
const BIND_ANSWER = { systemId: cString(16) }

const ADDRESSES = {
  serviceType: cString(6),
  sourceTon: integer(1),
  sourceNpi: integer(1),
  source: cString(21),
  destinationTon: integer(1),
  destinationNpi: integer(1),
  destination: cString(21),
  esmClass: integer(1),
}
const MESSAGE = {
  ...ADDRESSES,
  protocolId: integer(1),
  priority: integer(1),
  /** "" or 16 characters (§7.1.1). */
  deliverAt: cString(17),
  /** "" or 16 characters (§7.1.1). */
  validUntil: cString(17),
  registeredDelivery: integer(1),
  replaceIfPresent: integer(1),
  dataCoding: integer(1),
  defaultMessage: integer(1),
  shortMessage,
}
const DATA = {
  ...ADDRESSES,
  source: cString(65),
  destination: cString(65),
  registeredDelivery: integer(1),
  dataCoding: integer(1),
}
const MESSAGE_ANSWER = { messageId: cString(65) }

/** The commands in use here, their ids and the fields of their bodies in order (SMPP 3.4 §4, §5.1.2.1). */
export const COMMANDS = {
  generic_nack: { id: 0x80000000, fields: {} },
  bind_receiver: { id: 0x00000001, fields: BIND },
  bind_receiver_resp: { id: 0x80000001, fields: BIND_ANSWER },
  bind_transmitter: { id: 0x00000002, fields: BIND },
  bind_transmitter_resp: { id: 0x80000002, fields: BIND_ANSWER },
  submit_sm: { id: 0x00000004, fields: MESSAGE },
  submit_sm_resp: { id: 0x80000004, fields: MESSAGE_ANSWER },
  deliver_sm: { id: 0x00000005, fields: MESSAGE },
  deliver_sm_resp: { id: 0x80000005, fields: MESSAGE_ANSWER },
  unbind: { id: 0x00000006, fields: {} },
  unbind_resp: { id: 0x80000006, fields: {} },
  bind_transceiver: { id: 0x00000009, fields: BIND },
  bind_transceiver_resp: { id: 0x80000009, fields: BIND_ANSWER },
  enquire_link: { id: 0x00000015, fields: {} },
  enquire_link_resp: { id: 0x80000015, fields: {} },
  data_sm: { id: 0x00000103, fields: DATA },
  data_sm_resp: { id: 0x80000103, fields: MESSAGE_ANSWER },
} as const

/** A command's name in the standard. */
export type CommandName = keyof typeof COMMANDS

type ValueOf<AField> = AField extends Field<infer Value> ? Value : never

/** The body of a command. */
export type Body<Command extends CommandName> = {
  readonly [Name in keyof (typeof COMMANDS)[Command]['fields']]: ValueOf<
    (typeof COMMANDS)[Command]['fields'][Name]
  >
}

/** Requests that are never answered: outbind and alert_notification. */
export const UNANSWERED_IDS: ReadonlySet<number> = new Set([0x0000000b, 0x00000102])

/** Set in the id of every answer. */
export const ANSWER_BIT = 0x80000000

/** Tags of the optional parameters in use here (SMPP 3.4 §5.3.2). */
export const TAGS = {
  receiptedMessageId: 0x001e,
  sarReference: 0x020c,
  sarTotal: 0x020e,
  sarNumber: 0x020f,
  networkErrorCode: 0x0423,
  messagePayload: 0x0424,
  messageState: 0x0427,
  ussdServiceOp: 0x0501,
  itsSessionInfo: 0x1383,
} as const
