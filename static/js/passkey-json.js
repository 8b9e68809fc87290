// Passkey questions and answers travel as JSON, in which bytes are base64url (WebAuthn level 3, 5.1).
export function toBytes(text) {
  const plain = atob(text.replaceAll("-", "+").replaceAll("_", "/"))
  return Uint8Array.from(plain, (character) => character.charCodeAt(0))
}

export function toText(buffer) {
  const plain = String.fromCharCode(...new Uint8Array(buffer))
  return btoa(plain).replaceAll("+", "-").replaceAll("/", "_").replaceAll("=", "")
}

const described = (keys) => (keys ?? []).map((key) => ({ ...key, id: toBytes(key.id) }))

// What is made here has to sign in by itself, so the device keeps it and checks who uses it.
export function creationFrom({ publicKey }) {
  return {
    ...publicKey,
    challenge: toBytes(publicKey.challenge),
    user: { ...publicKey.user, id: toBytes(publicKey.user.id) },
    excludeCredentials: described(publicKey.excludeCredentials),
    authenticatorSelection: { residentKey: "required", requireResidentKey: true, userVerification: "required" },
  }
}

export function requestFrom({ publicKey }) {
  return {
    ...publicKey,
    challenge: toBytes(publicKey.challenge),
    allowCredentials: described(publicKey.allowCredentials),
  }
}

export function answerOf(credential) {
  const { response } = credential
  const bytes = ["clientDataJSON", "attestationObject", "authenticatorData", "signature", "userHandle"]
  const said = bytes.filter((name) => response[name]).map((name) => [name, toText(response[name])])
  const transports = response.getTransports ? { transports: response.getTransports() } : {}
  return {
    type: credential.type,
    id: credential.id,
    rawId: toText(credential.rawId),
    authenticatorAttachment: credential.authenticatorAttachment ?? null,
    response: { ...Object.fromEntries(said), ...transports },
    clientExtensionResults: credential.getClientExtensionResults(),
  }
}
