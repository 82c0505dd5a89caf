import encodeQR from 'qr'
import { formatCardNumber } from '../../core/card-number.ts'
import { html, trusted } from './html.ts'
import type { Markup } from './html.ts'

/** A card number as a QR code (ISO/IEC 18004): the eight digits and nothing else. */
export function cardCode(cardNumber: string): Markup {
  const drawing = encodeQR(cardNumber, 'svg', { ecc: 'medium' })
  return html`<span class="code" role="img" aria-label="Card ${formatCardNumber(cardNumber)} as a QR code"
    >${trusted(drawing)}</span
  >`
}
