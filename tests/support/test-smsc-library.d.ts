/** What the tests use of the npm library `smpp`, which brings no types of its own. */
declare module 'smpp' {
  import type { Server, Socket } from 'node:net'

  export interface LibraryPdu {
    readonly command: string
    readonly command_status: number
    readonly sequence_number: number
    readonly [field: string]: unknown
    readonly toBuffer: () => Buffer
    readonly response: (fields?: object) => LibraryPdu
  }
  export interface LibrarySession {
    readonly socket: Socket
    readonly on: (event: string, listener: (pdu: LibraryPdu) => void) => void
    readonly send: (pdu: LibraryPdu, onAnswer?: (answer: LibraryPdu) => void) => boolean
    readonly deliver_sm: (fields: object, onAnswer: (answer: LibraryPdu) => void) => boolean
    readonly submit_sm: (fields: object, onAnswer: (answer: LibraryPdu) => void) => boolean
    readonly enquire_link: (onAnswer: (answer: LibraryPdu) => void) => boolean
    readonly unbind: (onAnswer: (answer: LibraryPdu) => void) => boolean
    readonly bind_transceiver: (fields: object, onAnswer: (answer: LibraryPdu) => void) => boolean
    readonly destroy: () => void
  }
  interface Library {
    readonly PDU: {
      new (command: string, fields?: object): LibraryPdu
      fromBuffer: (octets: Buffer) => LibraryPdu
    }
    readonly commands: Readonly<Record<string, { readonly id: number }>>
    readonly tlvs: Readonly<Record<string, { readonly id: number }>>
    readonly errors: Readonly<Record<string, number>>
    readonly createServer: (listener: (session: LibrarySession) => void) => Server
    readonly connect: (options: object) => LibrarySession
  }
  const smpp: Library
  export default smpp
}
