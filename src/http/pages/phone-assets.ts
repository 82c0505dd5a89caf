/** Look and behaviour of the phone page, served as files of their own so that no inline script or style is needed. */

export const PHONE_STYLE = `
body { font: 1rem/1.45 system-ui, sans-serif; color: #1b1b1b; background: #f6f4ef; margin: 0 }
main { max-width: 34rem; margin: 0 auto; padding: 1rem }
h1 { font-size: 1.3rem }
label { display: block; margin: .5rem 0 .2rem }
select, textarea, input { font: inherit; width: 100%; box-sizing: border-box; padding: .4rem }
button { font: inherit; margin-top: .4rem; padding: .45rem .9rem; border: 1px solid #27408b; background: #27408b; color: #fff }
.handset { background: #fff; border: 1px solid #b9b4a7; padding: .8rem; margin-top: 1rem }
#texts { list-style: none; margin: 0; padding: 0; max-height: 22rem; overflow-y: auto }
#texts li { border-left: 4px solid #27408b; padding: .2rem .6rem; margin: .5rem 0; white-space: pre-wrap }
#texts li.mine { border-color: #8a8373; text-align: right; border-left: 0; border-right: 4px solid #8a8373 }
#texts small { color: #5d574a }
#screen { background: #eef0e6; min-height: 6rem; padding: .6rem; white-space: pre-wrap; font: .95rem/1.4 ui-monospace, monospace }
`

export const PHONE_SCRIPT = `
const byId = (id) => document.getElementById(id)
const post = async (path, body) => {
  const answer = await fetch(path, { method: 'POST', headers: { 'content-type': 'application/json' }, body: JSON.stringify(body) })
  return answer.json()
}
const line = (text) => {
  const item = document.createElement('li')
  if (text.isMine) item.className = 'mine'
  item.textContent = text.body + '\\n'
  const when = document.createElement('small')
  when.textContent = text.at.slice(0, 16).replace('T', ' ')
  item.append(when)
  return item
}
let shown = ''
const refresh = async () => {
  const answer = await fetch('/phone/thread?number=' + encodeURIComponent(byId('who').value))
  const state = await answer.text()
  if (state === shown) return
  shown = state
  byId('texts').replaceChildren(...JSON.parse(state).map(line))
  byId('texts').scrollTop = byId('texts').scrollHeight
}
byId('who').addEventListener('change', refresh)
byId('write').addEventListener('submit', async (event) => {
  event.preventDefault()
  const body = byId('body').value
  byId('body').value = ''
  await post('/phone/text', { from: byId('who').value, body })
  await refresh()
})
const show = (answer) => {
  byId('screen').textContent = answer.text + (answer.ends ? '\\n(the dialogue has ended)' : '')
}
byId('dial').addEventListener('click', async () => show(await post('/phone/dial', { from: byId('who').value })))
byId('keys').addEventListener('submit', async (event) => {
  event.preventDefault()
  const typed = byId('typed').value
  byId('typed').value = ''
  show(await post('/phone/press', { from: byId('who').value, typed }))
})
setInterval(refresh, 1000)
refresh()
`
