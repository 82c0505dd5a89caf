/** Colours of charts: told apart by every common kind of colour sight (Okabe and Ito, 2008); shapes repeat what they say. */
export const CHART_INK = {
  first: '#0072b2',
  last: '#10243a',
  warning: '#b04a00',
  text: '#1d2733',
  faint: '#5b6673',
  grid: '#e7eaed',
  paper: '#ffffff',
  /** What lies behind a chart. */
  page: '#fbfaf7',
} as const
