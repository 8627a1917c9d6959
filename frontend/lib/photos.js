// @ts-check
// Photos from the camera, made small enough to keep on the device and to send on a bad network.

/** The longer side of what is kept, in pixels: pitting still shows, and it is what the server keeps. */
const longest = 2560;

/** Below this a photo that is not too large in pixels goes as it is. */
const light = 1_500_000;

/**
 * The photo as JPEG of at most 2560 pixels, upright; the original's bytes when it is small already, or when
 * this browser cannot read it. A copy in either case: a file of the camera may be gone later.
 * @param {Blob} file @returns {Promise<Blob>}
 */
export async function smaller(file) {
  try {
    const image = await createImageBitmap(file, { imageOrientation: "from-image" });
    const scale = longest / Math.max(image.width, image.height);
    if (scale >= 1 && file.size <= light) {
      image.close();
      return await copy(file);
    }
    const canvas = document.createElement("canvas");
    canvas.width = Math.round(image.width * Math.min(1, scale));
    canvas.height = Math.round(image.height * Math.min(1, scale));
    canvas.getContext("2d")?.drawImage(image, 0, 0, canvas.width, canvas.height);
    image.close();
    const made = await new Promise((done) => canvas.toBlob(done, "image/jpeg", 0.85));
    return made instanceof Blob && made.size < file.size ? made : await copy(file);
  } catch {
    return copy(file);
  }
}

/** @param {Blob} file */
async function copy(file) {
  return new Blob([await file.arrayBuffer()], { type: file.type });
}
