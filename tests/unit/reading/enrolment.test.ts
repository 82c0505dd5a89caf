import { reading } from '../../support/reading.ts'

const ASHA = {
  act: 'enrol',
  village: 'Mbari',
  birthDate: '2026-10-12',
  sex: 'female',
  phone: '+447700900123',
  name: 'Asha Temba',
}
const VILLAGES = ['Mbari', 'Kilima Juu', 'La Paz']

describe('NEW', () => {
  test.each([
    'NEW Mbari 12/10/2026 F 07700 900123 Asha Temba',
    'new Mbari 12.10.26 girl 07700.900.123 Asha Temba',
    'NEW Mbari 12 Oct 2026 female (07700) 900123 Asha Temba',
    'NEW Mbari 12102026 F +44 7700 900 123 Asha Temba',
    'NEW Mbari 12 10 2026 07700 900 123 F Asha Temba',
    'NEW Mbari 12/10 F +44(0)7700900123 Asha Temba',
    'NEW Mbari F 2026-10-12 Asha Temba 07700900123',
    'NEW village: Mbari, born 12/10/2026, sex F, phone 07700900123, name Asha Temba.',
    'NEW Mbari १२/१०/२०२६ F ٠٧٧٠٠٩٠٠١٢٣ Asha Temba',
    'NEW Mbari 12/10/2026 F 07700900123 Asha Temba. Thank you',
  ])('%j enrols Asha', (text) => {
    expect(reading(text)).toEqual(ASHA)
  })

  test.each([
    ['O’Brien-Smith Fatou', "O'Brien-Smith Fatou"],
    ['José Ñandú', 'José Ñandú'],
    ['आशा देवी', 'आशा देवी'],
    ['آشا', 'آشا'],
    ['Ana de la Cruz', 'Ana de la Cruz'],
    ['Asha M', 'Asha M'],
    ['Baby Temba', 'Baby Temba'],
  ])('takes the name %s', (typed, name) => {
    expect(reading(`NEW Mbari 12/10/2026 F 07700900123 ${typed}`)).toMatchObject({ name })
  })

  test('takes a family without a phone', () => {
    expect(reading('NEW Mbari 12/10/2026 M no phone Juma')).toMatchObject({
      phone: null,
      sex: 'male',
      name: 'Juma',
    })
  })

  test('takes a village of several words, also with a number', () => {
    expect(reading('NEW Zone 4 12/10/2026 F 07700900123 Asha')).toMatchObject({ village: 'Zone 4' })
    expect(reading('NEW Kilima Juu 12/10/2026 F 07700900123 Asha')).toMatchObject({ village: 'Kilima Juu' })
  })

  test.each([
    ['NEW Mbari F 07700900123 Asha', 'birth-date-missing', null],
    ['NEW Mbari 12/10/2026 07700900123 Asha', 'sex-missing', null],
    ['NEW Mbari 12/10/2026 F Asha', 'phone-missing', null],
    ['NEW Mbari 12/10/2026 F 12 Asha', 'phone-impossible', '12'],
    ['NEW Mbari 12/10/2026 F O7700900123 Asha', 'phone-impossible', 'O7700900123'],
    ['NEW Mbari 12/10/2026 F 07700900123', 'name-missing', null],
    ['NEW 12/10/2026 F 07700900123 Asha', 'village-missing', null],
    ['NEW Mbari 12/10/2027 F 07700900123 Asha', 'date-future', '12/10/2027'],
    ['NEW Mbari 31/02/2026 F 07700900123 Asha', 'date-impossible', '31/02/2026'],
    ['NEW Mbari 12/10/1999 F 07700900123 Asha', 'date-impossible', '12/10/1999'],
    ['NEW', 'village-missing', null],
    ['NEW Mbari', 'birth-date-missing', null],
  ])('%j is refused: %s', (text, code, word) => {
    expect(reading(text)).toMatchObject({ code, word })
  })

  test('knows the villages of the district where they are given', () => {
    const written = (text: string): unknown => reading(text, { villages: VILLAGES })

    expect(written('NEW kilima juu 12/10/2026 F 07700900123 Asha')).toMatchObject({ village: 'Kilima Juu' })
    expect(written('NEW Mabri Asha 12/10/2026 F 07700900123')).toMatchObject({
      village: 'Mbari',
      name: 'Asha',
    })
    expect(written('NEW Asha Temba F 12/10/2026 07700900123 Mbari')).toMatchObject(ASHA)
    expect(written('NEW Kilma Ju 12/10/2026 F 07700900123 Asha')).toMatchObject({
      code: 'village-unknown',
      word: 'Kilma Ju',
      choices: ['NEW Kilima Juu 2026-10-12 F +447700900123 Asha'],
    })
  })

  test.each([
    ['fr', 'NOUVEAU Mbari née le 12 octobre 2026 fille 07700900123 Asha Temba'],
    ['es', 'nuevo Mbari 12 de octubre de 2026 niña 07700900123 Asha Temba'],
    ['pt', 'novo Mbari 12 de outubro de 2026 menina 07700900123 Asha Temba'],
    ['sw', 'mpya Mbari 12 Oktoba 2026 msichana 07700900123 Asha Temba'],
    ['hi', 'नया Mbari 12 अक्टूबर 2026 लड़की 07700900123 Asha Temba'],
    ['ar', 'جديد Mbari 12 أكتوبر 2026 بنت 07700900123 Asha Temba'],
  ])('is understood in %s', (language, text) => {
    expect(reading(text, { language })).toEqual(ASHA)
  })
})
