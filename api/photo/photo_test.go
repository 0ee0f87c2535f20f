package photo_test

import (
	"bytes"
	"context"
	"errors"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"testing/iotest"

	"swingroom/api/photo"
	"swingroom/fixtures/outside"
)

var ctx = context.Background()

func take(t testing.TB, b []byte) photo.Photo {
	t.Helper()
	p, err := photo.Normalize(ctx, bytes.NewReader(b))
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func decoded(t testing.TB, p photo.Photo) image.Image {
	t.Helper()
	m, err := jpeg.Decode(bytes.NewReader(p.Bytes))
	if err != nil {
		t.Fatal(err)
	}
	if size := m.Bounds().Size(); size.X != p.Width || size.Y != p.Height {
		t.Fatalf("%v pixels, told as %d x %d", size, p.Width, p.Height)
	}
	return m
}

// near tells whether a colour is one of the pure ones, within what a JPEG of quality 85 blurs.
func near(a, b color.Color) bool {
	ar, ag, ab, _ := a.RGBA()
	br, bg, bb, _ := b.RGBA()
	const tolerance = 0x2000 // an eighth of the range
	off := func(x, y uint32) bool { return max(x, y)-min(x, y) > tolerance }
	return !off(ar, br) && !off(ag, bg) && !off(ab, bb)
}

func TestAPictureOfAnyFormatIsKeptAsJPEG(t *testing.T) {
	for name, b := range map[string][]byte{
		"jpeg":           asJPEG(t, corners(64, 32)),
		"png":            asPNG(t, corners(64, 32)),
		"png of 16 bits": asPNG(t, deep(corners(64, 32))),
		"webp":           plainWebP(64, 32),
	} {
		t.Run(name, func(t *testing.T) {
			p := take(t, b)
			decoded(t, p)
			if p.Width != 64 || p.Height != 32 || p.SHA256 != sumOf(p.Bytes) {
				t.Errorf("%d x %d, %s", p.Width, p.Height, p.SHA256)
			}
			if again := take(t, b); again.SHA256 != p.SHA256 {
				t.Error("taken twice it has two names")
			}
		})
	}
}

func TestALargePictureIsScaledAndKeepsItsShape(t *testing.T) {
	for name, c := range map[string]struct{ w, h, wantW, wantH int }{
		"wide":           {4096, 1024, 2048, 512},
		"high":           {1024, 4096, 512, 2048},
		"at the limit":   {2048, 100, 2048, 100},
		"a hair over":    {2049, 100, 2048, 99},
		"a thread":       {5000, 1, 2048, 1},
		"of a telephone": {4000, 3000, 2048, 1536},
	} {
		t.Run(name, func(t *testing.T) {
			p := take(t, asJPEG(t, corners(c.w, c.h)))
			m := decoded(t, p)
			if p.Width != c.wantW || p.Height != c.wantH {
				t.Fatalf("%d x %d, want %d x %d", p.Width, p.Height, c.wantW, c.wantH)
			}
			if c.h > 50 && !near(m.At(2, 2), red) {
				t.Errorf("top left is %v", m.At(2, 2))
			}
		})
	}
}

// Stored as each orientation says, the same picture comes out upright every time. The table is that of TIFF 6.0, tag 274: where the first
// row and column of what is stored belong.
func TestEveryOrientationComesOutUpright(t *testing.T) {
	for o := 1; o <= 8; o++ {
		for name, exif := range map[string][]byte{"little endian": tiff("II", o), "big endian": tiff("MM", o)} {
			for kind, b := range map[string][]byte{
				"jpeg": withAPP1(asJPEG(t, stored(o)), exif), "png": withEXIfChunk(asPNG(t, stored(o)), exif),
			} {
				p := take(t, b)
				m := decoded(t, p)
				if p.Width != 64 || p.Height != 32 {
					t.Fatalf("%s %s %d: %d x %d", kind, name, o, p.Width, p.Height)
				}
				for at, want := range map[image.Point]color.Color{{8, 8}: red, {56, 8}: green, {8, 24}: blue, {56, 24}: white} {
					if !near(m.At(at.X, at.Y), want) {
						t.Errorf("%s %s, orientation %d: %v is %v, want %v", kind, name, o, at, m.At(at.X, at.Y), want)
					}
				}
			}
		}
	}
	if p := take(t, withEXIFWebP(plainWebP(64, 32), tiff("II", 6))); p.Width != 32 || p.Height != 64 {
		t.Errorf("webp of orientation 6: %d x %d", p.Width, p.Height)
	}
}

func TestAnOrientationThatMakesNoSenseIsUpright(t *testing.T) {
	whole := tiff("II", 6)
	tests := map[string][]byte{"9": tiff("II", 9), "0": tiff("MM", 0), "empty": {}, "no TIFF": []byte("XX*\x00\x08\x00\x00\x00")}
	for n := 1; n < 20; n++ { // before the entry's value
		tests["cut "+string(rune('a'+n))] = whole[:n]
	}
	far := bytes.Clone(whole)
	copy(far[4:], "\xff\xff\xff\xff")
	tests["a directory beyond the end"] = far
	for name, exif := range tests {
		if p := take(t, withAPP1(asJPEG(t, corners(64, 32)), exif)); p.Width != 64 {
			t.Errorf("%s: it was turned", name)
		}
	}
}

func TestNothingOfTheCamerasRecordsIsLeft(t *testing.T) {
	exif := tiff("II", 1)
	// What a reader finds in the picture before, so that the search is known to be able to find it.
	secrets := []string{"Exif", "GPSSECRET", "CAMERASECRET", "XMPSECRET", "COMMENTSECRET", "TRAILERSECRET", "<script>"}
	jpegIn := withAPP1(asJPEG(t, corners(64, 32)), append(bytes.Clone(exif), "GPSSECRET CAMERASECRET"...))
	jpegIn = withSegment(jpegIn, 0xe1, "http://ns.adobe.com/xap/1.0/\x00<x:xmpmeta>XMPSECRET<script></x:xmpmeta>")
	jpegIn = append(withSegment(jpegIn, 0xfe, "COMMENTSECRET"), "<html>TRAILERSECRET"...)
	pngIn := withEXIfChunk(asPNG(t, corners(64, 32)), append(bytes.Clone(exif), "Exif GPSSECRET CAMERASECRET"...))
	pngIn = append(withChunk(pngIn, "tEXt", "Comment\x00COMMENTSECRET XMPSECRET<script>"), "TRAILERSECRET"...)
	for name, in := range map[string][]byte{"jpeg": jpegIn, "png": pngIn} {
		out := take(t, in).Bytes
		for _, secret := range secrets {
			if !bytes.Contains(in, []byte(secret)) {
				t.Errorf("%s: the picture that comes in has no %s: nothing is tested", name, secret)
			}
			if bytes.Contains(out, []byte(secret)) {
				t.Errorf("%s: %s is still there", name, secret)
			}
		}
	}
}

func TestExiftoolFindsNoPositionAnyMore(t *testing.T) {
	exiftool := outside.Program(t, "exiftool", "libimage-exiftool-perl")
	tags := func(b []byte) string {
		path := filepath.Join(t.TempDir(), "p.jpg")
		if err := os.WriteFile(path, b, 0o600); err != nil {
			t.Fatal(err)
		}
		out, err := exec.Command(exiftool, "-s", "-G1", path).CombinedOutput()
		if err != nil {
			t.Fatalf("%v\n%s", err, out)
		}
		return string(out)
	}
	in := withAPP1(asJPEG(t, corners(64, 32)), tiffWithGPS())
	if before := tags(in); !strings.Contains(before, "GPSLatitude") || !strings.Contains(before, "44 deg 12' 30.00\"") ||
		!strings.Contains(before, "Model") {
		t.Fatalf("the picture that comes in has no position, nothing is tested:\n%s", before)
	}
	after := tags(take(t, in).Bytes)
	for _, group := range []string{"GPS", "[IFD0]", "[ExifIFD]", "XMP", "Model", "Warning"} {
		if strings.Contains(after, group) {
			t.Errorf("%s is still there:\n%s", group, after)
		}
	}
}

func TestWhatIsNoPictureIsRefused(t *testing.T) {
	whole := map[string][]byte{"jpeg": asJPEG(t, corners(64, 32)), "png": asPNG(t, corners(64, 32)), "webp": plainWebP(64, 32)}
	tests := map[string]struct {
		in   []byte
		kind error
	}{
		"nothing":                    {nil, photo.ErrNoPicture},
		"a page":                     {[]byte("<!doctype html><script>alert(1)</script>"), photo.ErrNoPicture},
		"a drawing":                  {[]byte(`<svg xmlns="http://www.w3.org/2000/svg" onload="alert(1)"/>`), photo.ErrNoPicture},
		"a page before a picture":    {append([]byte("<html><!--"), whole["jpeg"]...), photo.ErrNoPicture},
		"a GIF":                      {[]byte("GIF89a\x01\x00\x01\x00\x00\x00\x00;"), photo.ErrNoPicture},
		"a PDF":                      {[]byte("%PDF-1.7\n"), photo.ErrNoPicture},
		"a page that begins as JPEG": {[]byte("\xff\xd8\xff<html><script>alert(1)</script>"), photo.ErrBroken},
		"a page that begins as PNG":  {[]byte("\x89PNG\r\n\x1a\n<svg onload='alert(1)'/>"), photo.ErrBroken},
		"RIFF of sound":              {[]byte("RIFF\x24\x00\x00\x00WAVEfmt "), photo.ErrNoPicture},
		"a PNG without pixels":       {bombPNG(0, 5), photo.ErrBroken},
		"a PNG of 900 million":       {bombPNG(30000, 30000), photo.ErrTooLarge},
		"a JPEG of 4 thousand mill.": {bombJPEG(65500, 65500), photo.ErrTooLarge},
		"a WebP of 268 million":      {plainWebP(16384, 16384), photo.ErrTooLarge},
		"13 MB":                      {append(bytes.Clone(whole["jpeg"]), make([]byte, 13<<20)...), photo.ErrTooLarge},
	}
	for name, b := range whole {
		for n := 1; n < 10; n++ {
			kind := photo.ErrBroken
			cut := b[:len(b)*n/10]
			if len(cut) < 12 {
				kind = photo.ErrNoPicture
			}
			tests[name+" cut after "+string(rune('0'+n))+" tenths"] = struct {
				in   []byte
				kind error
			}{cut, kind}
		}
	}
	delete(tests, "webp cut after 9 tenths") // one colour: the last bytes of this small one say nothing
	for name, c := range tests {
		t.Run(name, func(t *testing.T) {
			p, err := photo.Normalize(ctx, bytes.NewReader(c.in))
			if !errors.Is(err, c.kind) {
				t.Errorf("%v, want %v (%d x %d)", err, c.kind, p.Width, p.Height)
			}
		})
	}
}

func TestTheNameOfAFileDecidesNothing(t *testing.T) {
	path := filepath.Join(t.TempDir(), "buoy.jpg")
	if err := os.WriteFile(path, asPNG(t, corners(64, 32)), 0o600); err != nil {
		t.Fatal(err)
	}
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if p, err := photo.Normalize(ctx, f); err != nil || p.Width != 64 {
		t.Errorf("a PNG named jpg: %v", err)
	}
}

// A header is refused before memory for its pixels is taken: 900 million of them would be gigabytes.
func TestABombTakesNoMemory(t *testing.T) {
	for name, b := range map[string][]byte{"png": bombPNG(30000, 30000), "jpeg": bombJPEG(65500, 65500), "webp": plainWebP(16384, 16384)} {
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		_, err := photo.Normalize(ctx, bytes.NewReader(b))
		runtime.ReadMemStats(&after)
		if took := after.TotalAlloc - before.TotalAlloc; !errors.Is(err, photo.ErrTooLarge) || took > 1<<20 {
			t.Errorf("%s: %v, %d bytes taken", name, err, took)
		}
	}
}

func TestAReaderThatFailsIsToldAsItIs(t *testing.T) {
	cut := errors.New("the wire was cut")
	if _, err := photo.Normalize(ctx, iotest.ErrReader(cut)); !errors.Is(err, cut) {
		t.Errorf("%v", err)
	}
}

func TestWhatIsTransparentBecomesWhite(t *testing.T) {
	m := image.NewNRGBA(image.Rect(0, 0, 16, 16))
	if got := decoded(t, take(t, asPNG(t, m))).At(8, 8); !near(got, white) {
		t.Errorf("%v", got)
	}
}

func FuzzTake(f *testing.F) {
	for _, m := range []image.Image{corners(16, 8), deep(corners(8, 16))} {
		f.Add(asJPEG(f, m))
		f.Add(asPNG(f, m))
	}
	f.Add(withAPP1(asJPEG(f, corners(16, 8)), tiffWithGPS()))
	f.Add(withEXIfChunk(asPNG(f, corners(16, 8)), tiff("MM", 7)))
	f.Add(withEXIFWebP(plainWebP(16, 8), tiff("II", 5)))
	f.Fuzz(func(t *testing.T, b []byte) {
		if c, _, err := image.DecodeConfig(bytes.NewReader(b)); err == nil && c.Width*c.Height > 1<<20 {
			t.Skip("it is taken or refused by its size, which takes the fuzzer long")
		}
		p, err := photo.Normalize(ctx, bytes.NewReader(b))
		if err != nil {
			if !errors.Is(err, photo.ErrNoPicture) && !errors.Is(err, photo.ErrBroken) && !errors.Is(err, photo.ErrTooLarge) {
				t.Errorf("an error without a kind: %v", err)
			}
			return
		}
		decoded(t, p)
		if max(p.Width, p.Height) > photo.MaxSide || bytes.Contains(p.Bytes, []byte("Exif\x00")) {
			t.Errorf("%d x %d", p.Width, p.Height)
		}
	})
}

// BenchmarkTake takes in what a telephone sends, and the largest that is taken.
func BenchmarkTake(b *testing.B) {
	for _, size := range []struct {
		name string
		w, h int
	}{{"12 megapixels", 4000, 3000}, {"50 megapixels", 8660, 5773}} {
		in := asJPEG(b, corners(size.w, size.h))
		b.Run(size.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				take(b, in)
			}
		})
	}
}

var _ = png.Decode // registers PNG for the fuzzer's look at the size
