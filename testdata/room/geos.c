// The same open water by GEOS: reads a plan from standard input and prints areas, the largest inscribed circles and how long they took.
//
// Input: radius; number of quadrant segments; how many circles are wanted and their distance; then rings as "area N x y ...", "land N keep x y ..." and "disc x y keep", and "end".
// Output: area of the feasible region, then a line "x y clearance" for each circle, then "seconds S" for buffers, union, difference and circles.
#include <geos_c.h>
#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

static void quiet(const char *fmt, ...) { (void)fmt; }

static GEOSGeometry *ring_polygon(int n, double *xy) {
  GEOSCoordSequence *s = GEOSCoordSeq_create(n + 1, 2);
  for (int i = 0; i <= n; i++) {
    GEOSCoordSeq_setX(s, i, xy[2 * (i % n)]);
    GEOSCoordSeq_setY(s, i, xy[2 * (i % n) + 1]);
  }
  return GEOSGeom_createPolygon(GEOSGeom_createLinearRing(s), NULL, 0);
}

static GEOSGeometry *point(double x, double y) {
  GEOSCoordSequence *s = GEOSCoordSeq_create(1, 2);
  GEOSCoordSeq_setX(s, 0, x);
  GEOSCoordSeq_setY(s, 0, y);
  return GEOSGeom_createPoint(s);
}

int main(void) {
  initGEOS(quiet, quiet);
  double radius, apart;
  int quad, wanted;
  if (scanf("%lf %d %d %lf", &radius, &quad, &wanted, &apart) != 4) return 1;
  GEOSGeometry *area = NULL;
  GEOSGeometry **taken = malloc(sizeof(*taken) * 100000);
  double *keep = malloc(sizeof(*keep) * 100000);
  int n = 0;
  char word[16];
  while (scanf("%15s", word) == 1 && strcmp(word, "end")) {
    int corners = 1;
    double k = 0;
    if (strcmp(word, "disc") && scanf("%d", &corners) != 1) return 1;
    if (!strcmp(word, "land") && scanf("%lf", &k) != 1) return 1;
    double *xy = malloc(sizeof(double) * 2 * corners);
    for (int i = 0; i < 2 * corners; i++)
      if (scanf("%lf", &xy[i]) != 1) return 1;
    if (!strcmp(word, "disc") && scanf("%lf", &k) != 1) return 1;
    if (!strcmp(word, "area")) {
      area = ring_polygon(corners, xy);
    } else {
      taken[n] = corners == 1 ? point(xy[0], xy[1]) : ring_polygon(corners, xy);
      keep[n++] = k;
    }
    free(xy);
  }
  struct timespec a, b;
  clock_gettime(CLOCK_MONOTONIC, &a);
  for (int i = 0; i < n; i++) taken[i] = GEOSBuffer(taken[i], keep[i] + radius, quad);
  GEOSGeometry *all = GEOSUnaryUnion(GEOSGeom_createCollection(GEOS_GEOMETRYCOLLECTION, taken, n));
  GEOSGeometry *left = GEOSDifference(GEOSBuffer(area, -radius, quad), all);
  double m2 = 0;
  GEOSArea(left, &m2);
  printf("%.9f\n", m2);
  for (int i = 0; i < wanted; i++) {
    GEOSGeometry *line = GEOSMaximumInscribedCircle(left, 0.01);
    if (!line) break;
    double x, y, d;
    GEOSGeometry *p = GEOSGeomGetStartPoint(line);
    GEOSGeomGetX(p, &x);
    GEOSGeomGetY(p, &y);
    GEOSLength(line, &d);
    printf("%.6f %.6f %.6f\n", x, y, d);
    // The next one has to keep its distance; a small hole round this place keeps its centre away as far as half of it reaches.
    left = GEOSDifference(left, GEOSBuffer(point(x, y), apart, quad));
  }
  clock_gettime(CLOCK_MONOTONIC, &b);
  printf("seconds %.9f\n", (double)(b.tv_sec - a.tv_sec) + 1e-9 * (double)(b.tv_nsec - a.tv_nsec));
  return 0;
}
