// Package photo takes photographs in, keeps them, and draws some for the demo.
//
// Sanitise turns whatever somebody uploads into a picture that is safe to keep
// and to serve, or refuses it. The type is told by content, never by name. Size
// in bytes, pixels and the memory that decoding will take are known from the
// headers before a pixel is decoded. What is kept is not the upload but a new
// JPEG made from its pixels, turned upright, so that position data, camera
// serial numbers, embedded previews and anything appended to the file are gone.
// Folder keeps the results on a disk under names that are drawn by lot.
//
// Terms. The picture is the larger of the two JPEGs that are made, the
// thumbnail the smaller one. An orphan is a kept picture that no record knows,
// for example because the transaction that would have named it failed.
//
// Method and source. JPEG markers: ITU-T T.81 (1992), annex B. Orientation and
// the time taken: Exif 2.32 (CIPA DC-008-2019), which takes tag 274 from TIFF
// 6.0 (1992), section 8. PNG chunks: W3C PNG, third edition (2025), sections 5
// and 11. WebP chunks: RFC 9649 (2024). HEIF brands: ISO/IEC 23008-12. Pictures
// are made smaller by averaging areas, in whole numbers: each source pixel
// counts with the share of the target pixel that it covers.
//
// Decoders are those of the standard library and, for WebP, golang.org/x/image,
// which the Go project itself maintains and checks for vulnerabilities. Libraries
// for resizing were left aside: the best known for Go had its last release in
// 2019, and kernel scalers keep an intermediate picture in floating point that
// alone would outgrow the memory allowed here. Averaging needs one row.
//
// Units: lengths in pixels, sizes in bytes.
//
// It leaves out: colour profiles (a wide-gamut picture looks a little duller),
// gamma (areas are averaged as stored, which is common practice), HEIC and AVIF,
// moving pictures (of an animated PNG the still one is kept, an animated WebP is
// refused), and any judgement of what a picture shows.
package photo
