// The check at the end of every gateline line; called by the decoder and the encoder.

const TABLE = Uint16Array.from({ length: 256 }, (_, byte) => {
  let crc = byte << 8;
  for (let bit = 0; bit < 8; bit += 1) crc = crc & 0x8000 ? (crc << 1) ^ 0x1021 : crc << 1;
  return crc & 0xffff;
});

/**
 * CRC-16/CCITT-FALSE (also called CRC-16/IBM-3740): polynomial 0x1021, start value 0xFFFF, not
 * reflected, no final XOR. Check value of "123456789": 0x29B1.
 *
 * @param text - characters 0x00 to 0xFF, one byte each
 * @returns 0 to 0xFFFF
 * @see Catalogue of parametrised CRC algorithms, entry CRC-16/IBM-3740
 */
export function crc16(text: string): number {
  let crc = 0xffff;
  for (let i = 0; i < text.length; i += 1) {
    const index = ((crc >> 8) ^ text.charCodeAt(i)) & 0xff;
    crc = ((crc << 8) & 0xffff) ^ (TABLE[index] ?? 0);
  }
  return crc;
}

/** Four upper-case hexadecimal digits, as boot numbers and checks are written. */
export function hex4(value: number): string {
  return value.toString(16).toUpperCase().padStart(4, "0");
}
