package photo_test

import (
	"bytes"
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"hash/crc32"
	"image"
	"image/color"
	"image/draw"
	"image/jpeg"
	"image/png"
	"testing"
)

var (
	red   = color.RGBA{255, 0, 0, 255}
	green = color.RGBA{0, 255, 0, 255}
	blue  = color.RGBA{0, 0, 255, 255}
	white = color.RGBA{255, 255, 255, 255}
)

// corners is a picture of four fields, one colour in each corner: red and green above, blue and white below.
func corners(w, h int) *image.RGBA {
	m := image.NewRGBA(image.Rect(0, 0, w, h))
	for i, c := range []color.Color{red, green, blue, white} {
		field := image.Rect(0, 0, (w+1)/2, (h+1)/2).Add(image.Pt(i%2*(w/2), i/2*(h/2)))
		draw.Draw(m, field, image.NewUniform(c), image.Point{}, draw.Src)
	}
	return m
}

// stored lays the picture corners(64, 32) as a camera stores it that then says this orientation: its first row and column lie at the sides
// which the standard names.
func stored(orientation int) *image.RGBA {
	upright := corners(64, 32)
	first := map[int][2]string{1: {"top", "left"}, 2: {"top", "right"}, 3: {"bottom", "right"}, 4: {"bottom", "left"}, 5: {"left", "top"},
		6: {"right", "top"}, 7: {"right", "bottom"}, 8: {"left", "bottom"}}[orientation]
	rows, columns := 32, 64
	if orientation >= 5 {
		rows, columns = 64, 32
	}
	m := image.NewRGBA(image.Rect(0, 0, columns, rows))
	for row := range rows {
		for column := range columns {
			var at image.Point
			place(&at, first[0], row)
			place(&at, first[1], column)
			m.Set(column, row, upright.At(at.X, at.Y))
		}
	}
	return m
}

// place says where in a picture of 64 x 32 the nth row or column from a side is.
func place(at *image.Point, side string, n int) {
	switch side {
	case "top":
		at.Y = n
	case "bottom":
		at.Y = 31 - n
	case "left":
		at.X = n
	case "right":
		at.X = 63 - n
	}
}

func deep(m image.Image) image.Image {
	to := image.NewNRGBA64(m.Bounds())
	draw.Draw(to, to.Rect, m, image.Point{}, draw.Src)
	return to
}

func asJPEG(t testing.TB, m image.Image) []byte {
	var b bytes.Buffer
	if err := jpeg.Encode(&b, m, &jpeg.Options{Quality: 95}); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func asPNG(t testing.TB, m image.Image) []byte {
	var b bytes.Buffer
	if err := png.Encode(&b, m); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func sumOf(b []byte) string {
	sum := sha256.Sum256(b)
	return hex.EncodeToString(sum[:])
}

// orderOf gives the byte order of a TIFF structure.
func orderOf(mark string) binary.AppendByteOrder {
	if mark == "MM" {
		return binary.BigEndian
	}
	return binary.LittleEndian
}

// entry is one row of a TIFF directory; a value of four bytes or an offset.
type entry struct {
	tag, kind uint16
	count     uint32
	value     []byte
}

func directory(o binary.AppendByteOrder, entries ...entry) []byte {
	b := o.AppendUint16(nil, uint16(len(entries)))
	for _, e := range entries {
		b = o.AppendUint32(o.AppendUint16(o.AppendUint16(b, e.tag), e.kind), e.count)
		b = append(b, e.value...)
	}
	return append(b, 0, 0, 0, 0) // no further directory
}

// tiff is the smallest structure with an orientation.
func tiff(mark string, orientation int) []byte {
	o := orderOf(mark)
	b := o.AppendUint32(o.AppendUint16([]byte(mark), 42), 8)
	return append(b, directory(o, entry{274, 3, 1, append(o.AppendUint16(nil, uint16(orientation)), 0, 0)})...)
}

// tiffWithGPS says by which camera and where a picture was made: 44° 12' 30" N 41° 30' 15" W, which is open sea. Tags: JEITA CP-3451C, 4.6.
func tiffWithGPS() []byte {
	o := orderOf("II")
	u32 := func(v uint32) []byte { return o.AppendUint32(nil, v) }
	const model, gps = 8 + 2 + 2*12 + 4, 8 + 2 + 2*12 + 4 + 8
	const dms = gps + 2 + 4*12 + 4
	b := o.AppendUint32(o.AppendUint16([]byte("II"), 42), 8)
	b = append(b, directory(o, entry{272, 2, 8, u32(model)}, entry{0x8825, 4, 1, u32(gps)})...)
	b = append(b, "Grid 01\x00"...)
	b = append(b, directory(o, entry{1, 2, 2, []byte("N\x00\x00\x00")}, entry{2, 5, 3, u32(dms)}, entry{3, 2, 2, []byte("W\x00\x00\x00")},
		entry{4, 5, 3, u32(dms + 24)})...)
	for _, v := range []uint32{44, 12, 30, 41, 30, 15} {
		b = append(b, append(u32(v), u32(1)...)...)
	}
	return b
}

// withSegment puts a segment at the front of a JPEG.
func withSegment(in []byte, marker byte, body string) []byte {
	b := append([]byte{0xff, 0xd8, 0xff, marker}, binary.BigEndian.AppendUint16(nil, uint16(len(body)+2))...)
	return append(append(b, body...), in[2:]...)
}

func withAPP1(in, exif []byte) []byte { return withSegment(in, 0xe1, "Exif\x00\x00"+string(exif)) }

// withChunk puts a chunk behind the header of a PNG.
func withChunk(in []byte, name, body string) []byte {
	const header = 8 + 12 + 13
	return append(append(bytes.Clone(in[:header]), chunk(name, body)...), in[header:]...)
}

func chunk(name, body string) []byte {
	b := append(binary.BigEndian.AppendUint32(nil, uint32(len(body))), name+body...)
	return binary.BigEndian.AppendUint32(b, crc32.ChecksumIEEE(b[4:]))
}

func withEXIfChunk(in, exif []byte) []byte { return withChunk(in, "eXIf", string(exif)) }

// bombPNG is a header that promises pixels, and nothing behind it.
func bombPNG(w, h uint32) []byte {
	header := binary.BigEndian.AppendUint32(binary.BigEndian.AppendUint32(nil, w), h)
	b := append([]byte("\x89PNG\r\n\x1a\n"), chunk("IHDR", string(header)+"\x08\x02\x00\x00\x00")...)
	return append(b, chunk("IDAT", "x")...)
}

// bombJPEG is a frame header that promises pixels, and the begin of a scan without any (ITU-T T.81, B.2.2 and B.2.3).
func bombJPEG(w, h uint16) []byte {
	size := binary.BigEndian.AppendUint16(binary.BigEndian.AppendUint16(nil, h), w)
	scan := withSegment([]byte{0xff, 0xd8, 0xff, 0xd9}, 0xda, "\x03\x01\x00\x02\x11\x03\x11\x00\x3f\x00")
	return withSegment(scan, 0xc0, "\x08"+string(size)+"\x03\x01\x22\x00\x02\x11\x01\x03\x11\x01")
}

// plainWebP is a lossless WebP of one colour in a few bytes, whatever its size (RFC 9649, 3.4 and 3.7: five prefix codes of one symbol
// each, so that a pixel takes no bit).
func plainWebP(w, h int) []byte {
	var bits []byte
	n := 0
	put := func(v, count int) {
		for i := range count {
			if n%8 == 0 {
				bits = append(bits, 0)
			}
			bits[n/8] |= byte(v>>i&1) << (n % 8)
			n++
		}
	}
	put(0x2f, 8)
	put(w-1, 14)
	put(h-1, 14)
	put(0, 1+3)                                           // no alpha, version 0
	put(0, 1+1+1)                                         // no transform, no colour cache, one group of codes
	for _, symbol := range []int{128, 128, 128, 128, 0} { // green, red, blue, alpha, distance
		put(1, 1)      // a simple code
		put(0, 1)      // of one symbol
		put(1, 1)      // of 8 bits
		put(symbol, 8) // which is
	}
	body := string(bits) + "\x00\x00\x00\x00"
	return webP("VP8L", body[:len(body)/2*2])
}

func webP(name, body string) []byte {
	b := binary.LittleEndian.AppendUint32([]byte("RIFF"), uint32(4+8+len(body)))
	return append(binary.LittleEndian.AppendUint32(append(b, "WEBP"+name...), uint32(len(body))), body...)
}

// withEXIFWebP puts a chunk behind the picture of a WebP.
func withEXIFWebP(in, exif []byte) []byte {
	if len(exif)%2 == 1 {
		exif = append(exif, 0)
	}
	b := append(bytes.Clone(in), binary.LittleEndian.AppendUint32([]byte("EXIF"), uint32(len(exif)))...)
	b = append(b, exif...)
	binary.LittleEndian.PutUint32(b[4:], uint32(len(b)-8))
	return b
}
