// Shows the buttons that print, where there is a script to print with.
for (const button of document.querySelectorAll('[data-print]')) {
  button.hidden = false
  button.addEventListener('click', () => window.print())
}
