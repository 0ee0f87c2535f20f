package photo

import (
	"bytes"
	"encoding/binary"
	"image"
)

// Of all that a camera writes one number is read, by which a picture is laid upright. Libraries for Exif read every tag of a file that
// anybody may have sent, and know one of the three formats each; these few functions read no more than they need, and never past the end.

// exifOfJPEG is the TIFF structure in the first Exif segment of a JPEG, nil where there is none. Segments: ITU-T T.81, B.1.1; Exif in APP1:
// JEITA CP-3451C (Exif 2.3), 4.5.4.
func exifOfJPEG(b []byte) []byte {
	const app1, startOfScan = 0xe1, 0xda
	for at := 2; at+4 <= len(b) && b[at] == 0xff; {
		marker, length := b[at+1], int(binary.BigEndian.Uint16(b[at+2:])) // the length counts its own two bytes
		if marker == 0xff {                                               // a fill byte
			at++
			continue
		}
		if marker == startOfScan || length < 2 || at+2+length > len(b) {
			return nil
		}
		if body, ok := bytes.CutPrefix(b[at+4:at+2+length], []byte("Exif\x00\x00")); ok && marker == app1 {
			return body
		}
		at += 2 + length
	}
	return nil
}

// exifOfPNG is the body of the eXIf chunk of a PNG, nil where there is none. W3C PNG, third edition, 5.3 and 11.3.4.5.
func exifOfPNG(b []byte) []byte {
	for at := 8; at+12 <= len(b); {
		length := int64(binary.BigEndian.Uint32(b[at:]))
		if int64(at)+12+length > int64(len(b)) {
			return nil
		}
		if string(b[at+4:at+8]) == "eXIf" {
			return b[at+8 : at+8+int(length)]
		}
		at += 12 + int(length)
	}
	return nil
}

// exifOfWebP is the body of the EXIF chunk of a WebP, nil where there is none. RFC 9649, 2.3 and 2.7.1.5.
func exifOfWebP(b []byte) []byte {
	for at := 12; at+8 <= len(b); {
		length := int64(binary.LittleEndian.Uint32(b[at+4:]))
		if int64(at)+8+length > int64(len(b)) {
			return nil
		}
		if string(b[at:at+4]) == "EXIF" {
			body, _ := bytes.CutPrefix(b[at+8:at+8+int(length)], []byte("Exif\x00\x00")) // which some writers put there too
			return body
		}
		at += 8 + int(length+length%2) // chunks begin at even places
	}
	return nil
}

// orientation reads the orientation of a TIFF structure, 1 (upright) where it does not say one. TIFF 6.0, section 2 and tag 274.
func orientation(tiff []byte) int {
	const tag, upright = 274, 1
	order := byteOrder(tiff)
	if order == nil {
		return upright
	}
	at := int64(order.Uint32(tiff[4:]))
	if at+2 > int64(len(tiff)) {
		return upright
	}
	entries := tiff[at+2:]
	for n := order.Uint16(tiff[at:]); n > 0 && len(entries) >= 12; n, entries = n-1, entries[12:] {
		if order.Uint16(entries) == tag {
			return orientationIn(order, entries)
		}
	}
	return upright
}

// byteOrder is how a TIFF structure writes numbers, nil where it is none.
func byteOrder(tiff []byte) binary.ByteOrder {
	if len(tiff) < 8 {
		return nil
	}
	switch string(tiff[:4]) {
	case "II*\x00":
		return binary.LittleEndian
	case "MM\x00*":
		return binary.BigEndian
	}
	return nil
}

// orientationIn is what an entry of a TIFF structure says, 1 where it makes no sense.
func orientationIn(order binary.ByteOrder, entry []byte) int {
	const short = 3
	v := int(order.Uint16(entry[8:]))
	if order.Uint16(entry[2:]) != short || order.Uint32(entry[4:]) != 1 || v < 1 || v > 8 {
		return 1
	}
	return v
}

// turning is how a picture is laid upright: rows become columns first, then the order of columns or of rows is turned round.
type turning struct{ swap, flipX, flipY bool }

// turnings are those of each orientation, which says where the first row and the first column of what is stored belong: 1 top left, 2 top
// right, 3 bottom right, 4 bottom left, 5 left top, 6 right top, 7 right bottom, 8 left bottom (TIFF 6.0, tag 274).
var turnings = [9]turning{2: {flipX: true}, 3: {flipX: true, flipY: true}, 4: {flipY: true}, 5: {swap: true},
	6: {swap: true, flipX: true}, 7: {swap: true, flipX: true, flipY: true}, 8: {swap: true, flipY: true}}

// turn lays a picture upright.
func turn(m *image.RGBA, orientation int) *image.RGBA {
	if orientation == 1 {
		return m
	}
	how := turnings[orientation]
	w, h := m.Rect.Dx(), m.Rect.Dy()
	if how.swap {
		w, h = h, w
	}
	to := image.NewRGBA(image.Rect(0, 0, w, h))
	for y := range m.Rect.Dy() {
		for x := range m.Rect.Dx() {
			tx, ty := x, y
			if how.swap {
				tx, ty = y, x
			}
			if how.flipX {
				tx = w - 1 - tx
			}
			if how.flipY {
				ty = h - 1 - ty
			}
			copy(to.Pix[to.PixOffset(tx, ty):][:4], m.Pix[m.PixOffset(x, y):][:4])
		}
	}
	return to
}
