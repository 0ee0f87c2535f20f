// Package photo takes in pictures from cameras and telephones and keeps them without what cameras write into them: where, when and by whose
// device they were made.
package photo

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"io"

	"golang.org/x/image/draw"
	"golang.org/x/image/webp"
	"golang.org/x/sync/semaphore"
)

// Limits of a picture.
const (
	MaxBytes  = 12 << 20   // as it comes in
	MaxPixels = 50_000_000 // as its header says, before anything is decoded
	MaxSide   = 2048       // pixels of the longer side, as it is kept
	Quality   = 85         // of the JPEG that is kept
)

// Kinds of error.
var (
	// ErrTooLarge: more bytes or more pixels than are taken.
	ErrTooLarge = errors.New("the picture is too large")
	// ErrNoPicture: it is neither JPEG, PNG nor WebP.
	ErrNoPicture = errors.New("not a picture: JPEG, PNG or WebP is expected")
	// ErrBroken: it begins as a picture and cannot be decoded.
	ErrBroken = errors.New("the picture is broken")
)

// Photo is a picture as it is kept: a JPEG that lies upright and holds nothing but its pixels.
type Photo struct {
	SHA256 string // of Bytes, in hexadecimal: its name
	Width  int    // pixels
	Height int
	Bytes  []byte
}

// decoding shares the memory of the process among all who decode at once, by pixels. Decoded, a pixel takes up to 8 bytes of PNG with 16
// bits a colour and up to 12 of a progressive JPEG.
var decoding = semaphore.NewWeighted(MaxPixels)

// format is a kind of picture that is taken, told by its first bytes and not by its name or what a sender says of it.
type format struct {
	begins string // a ? stands for any byte
	header func(io.Reader) (image.Config, error)
	decode func(io.Reader) (image.Image, error)
	exif   func([]byte) []byte
}

var formats = []format{
	{"\xff\xd8\xff", jpeg.DecodeConfig, jpeg.Decode, exifOfJPEG},
	{"\x89PNG\r\n\x1a\n", png.DecodeConfig, png.Decode, exifOfPNG},
	{"RIFF????WEBP", webp.DecodeConfig, webp.Decode, exifOfWebP},
}

func (f format) fits(b []byte) bool {
	if len(b) < len(f.begins) {
		return false
	}
	for i := range len(f.begins) {
		if f.begins[i] != '?' && f.begins[i] != b[i] {
			return false
		}
	}
	return true
}

// Normalize reads a picture, turns it upright, scales it down to MaxSide and encodes it anew, so that nothing of the camera's own records
// is left. Transparent parts become white; a colour profile is dropped with the rest, and colours are taken for sRGB. It waits while others
// are decoded, until the context ends. Errors: ErrTooLarge, ErrNoPicture, ErrBroken, or the reader's.
func Normalize(ctx context.Context, r io.Reader) (Photo, error) {
	b, err := io.ReadAll(io.LimitReader(r, MaxBytes+1))
	if err != nil {
		return Photo{}, err
	}
	if len(b) > MaxBytes {
		return Photo{}, fmt.Errorf("%w: the limit is %d MB", ErrTooLarge, MaxBytes>>20)
	}
	for _, f := range formats {
		if f.fits(b) {
			return f.take(ctx, b)
		}
	}
	return Photo{}, ErrNoPicture
}

// take is Normalize for a picture of this format.
func (f format) take(ctx context.Context, b []byte) (Photo, error) {
	pixels, err := f.pixels(b)
	if err != nil {
		return Photo{}, err
	}
	if err := decoding.Acquire(ctx, pixels); err != nil {
		return Photo{}, err
	}
	defer decoding.Release(pixels)
	m, err := f.decode(bytes.NewReader(b))
	if err != nil {
		return Photo{}, fmt.Errorf("%w: %v", ErrBroken, err)
	}
	return encode(turn(shrink(m), orientation(f.exif(b))))
}

// pixels is how many a picture has by its header. Errors: ErrTooLarge, ErrBroken.
func (f format) pixels(b []byte) (int64, error) {
	size, err := f.header(bytes.NewReader(b))
	if err != nil {
		return 0, fmt.Errorf("%w: %v", ErrBroken, err)
	}
	if size.Width < 1 || size.Height < 1 {
		return 0, fmt.Errorf("%w: it has no pixels", ErrBroken)
	}
	pixels := int64(size.Width) * int64(size.Height)
	if pixels > MaxPixels {
		return 0, fmt.Errorf("%w: %d x %d pixels; the limit is %d million", ErrTooLarge, size.Width, size.Height, MaxPixels/1_000_000)
	}
	return pixels, nil
}

// encode makes the JPEG that is kept.
func encode(m *image.RGBA) (Photo, error) {
	var out bytes.Buffer
	if err := jpeg.Encode(&out, m, &jpeg.Options{Quality: Quality}); err != nil {
		return Photo{}, err
	}
	sum := sha256.Sum256(out.Bytes())
	return Photo{SHA256: hex.EncodeToString(sum[:]), Width: m.Rect.Dx(), Height: m.Rect.Dy(), Bytes: out.Bytes()}, nil
}

// shrink scales a picture down to MaxSide, on white; a smaller one keeps its size.
func shrink(m image.Image) *image.RGBA {
	to := image.NewRGBA(image.Rectangle{Max: sizeKept(m.Bounds().Size())})
	draw.Draw(to, to.Rect, image.NewUniform(color.White), image.Point{}, draw.Src)
	if to.Rect.Size() == m.Bounds().Size() {
		draw.Draw(to, to.Rect, m, m.Bounds().Min, draw.Over)
		return to
	}
	draw.CatmullRom.Scale(to, to.Rect, m, m.Bounds(), draw.Over, nil)
	return to
}

// sizeKept is the size of a picture once its longer side is MaxSide at most.
func sizeKept(size image.Point) image.Point {
	longer := max(size.X, size.Y)
	if longer <= MaxSide {
		return size
	}
	return image.Point{max(1, size.X*MaxSide/longer), max(1, size.Y*MaxSide/longer)}
}
