// Shows the button inside, which opens the browser's own print dialog. Without the script there is the browser's menu.
class PrintButton extends HTMLElement {
  connectedCallback() {
    const button = this.querySelector("button")
    button.hidden = false
    button.onclick = () => window.print()
  }
}

customElements.define("print-button", PrintButton)
