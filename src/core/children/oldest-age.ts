/** The oldest child that is put on the register: the vaccines of childhood end before. */
export const OLDEST_AGE_DAYS = 18 * 366
