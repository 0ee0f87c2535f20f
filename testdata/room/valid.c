// Whether polygons are valid by GEOS, and their area: reads lines "ring N x y ..." from standard input, an outer ring and then
// "hole N x y ..." for each of its holes, and "end" after all polygons of one region.
// Output for each region: its area, how many polygons are not valid or overlap others, and the first reason.
#include <geos_c.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static void quiet(const char *fmt, ...) { (void)fmt; }

static GEOSGeometry *ring(void) {
  int n;
  if (scanf("%d", &n) != 1) exit(1);
  GEOSCoordSequence *s = GEOSCoordSeq_create(n, 2);
  for (int i = 0; i < n; i++) {
    double x, y;
    if (scanf("%lf %lf", &x, &y) != 2) exit(1);
    GEOSCoordSeq_setX(s, i, x);
    GEOSCoordSeq_setY(s, i, y);
  }
  return GEOSGeom_createLinearRing(s);
}

enum { most = 100000 };
static GEOSGeometry *polygons[most], *holes[most];

int main(void) {
  initGEOS(quiet, quiet);
  char word[16];
  int n = 0, held = 0;
  GEOSGeometry *shell = NULL;
  while (scanf("%15s", word) == 1) {
    if (!strcmp(word, "hole")) {
      holes[held++] = ring();
      continue;
    }
    if (shell) polygons[n++] = GEOSGeom_createPolygon(shell, holes, held);
    shell = NULL;
    held = 0;
    if (!strcmp(word, "ring")) {
      shell = ring();
      continue;
    }
    GEOSGeometry *all = GEOSGeom_createCollection(GEOS_MULTIPOLYGON, polygons, n);
    double m2 = 0;
    GEOSArea(all, &m2);
    int bad = GEOSisValid(all) != 1;
    char *reason = GEOSisValidReason(all);
    printf("%.9f %d %s\n", m2, bad, reason);
    GEOSFree(reason);
    GEOSGeom_destroy(all);
    n = 0;
  }
  return 0;
}
