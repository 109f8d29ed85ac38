// Unpacking: what the page carries as gzip in base64, and modules out of it.

/**
 * The bytes of one of the page's bundles.
 * @param {string} id
 * @returns {Promise<ArrayBuffer>}
 */
export async function unpacked(id) {
  const text = document.getElementById(id)?.textContent ?? "";
  const bytes = Uint8Array.from(atob(text), (letter) => letter.charCodeAt(0));
  const stream = new Blob([bytes]).stream().pipeThrough(new DecompressionStream("gzip"));
  return new Response(stream).arrayBuffer();
}

/**
 * A bundle that is JSON.
 * @param {string} id
 * @returns {Promise<any>}
 */
export async function unpackedDocument(id) {
  return JSON.parse(new TextDecoder().decode(await unpacked(id)));
}

/**
 * A bundle that is an ES module.
 * @param {string} id
 * @returns {Promise<any>}
 */
export async function unpackedModule(id) {
  const url = URL.createObjectURL(new Blob([await unpacked(id)], { type: "text/javascript" }));
  try {
    return await import(url);
  } finally {
    URL.revokeObjectURL(url);
  }
}
