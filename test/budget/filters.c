/* The filters as firmware writes them: kind, parameter and count on the command line, readings on standard input. */
#include <inttypes.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static uint32_t middle(const uint32_t *last, int n)
{
    uint32_t v[5];
    memcpy(v, last, (size_t)n * sizeof v[0]);
    for (int i = 1; i < n; i++)
        for (int j = i; j > 0 && v[j - 1] > v[j]; j--) {
            uint32_t t = v[j];
            v[j] = v[j - 1];
            v[j - 1] = t;
        }
    return v[n / 2];
}

int main(int argc, char **argv)
{
    if (argc != 3) return 1;
    const char *kind = argv[1];
    const int n = atoi(argv[2]);
    static uint32_t last[4096];
    uint64_t sum = 0;
    uint64_t held = 0;
    int32_t y = 0;
    uint32_t x;
    for (long i = 0; scanf("%" SCNu32, &x) == 1; i++) {
        if (i == 0) {
            for (int k = 0; k < 4096; k++) last[k] = x;
            sum = (uint64_t)x * (uint64_t)n;
            held = (uint64_t)x << (n & 31);
            y = (int32_t)x;
        }
        if (!strcmp(kind, "mean")) {
            sum += x;
            sum -= last[i % n];
            last[i % n] = x;
            y = (int32_t)(sum / (uint64_t)n);
        } else if (!strcmp(kind, "median")) {
            last[i % n] = x;
            y = (int32_t)middle(last, n);
        } else if (!strcmp(kind, "shift")) {
            y += ((int32_t)x - y) >> n; /* arithmetic on every compiler that this is run with */
        } else if (!strcmp(kind, "divide")) {
            y += ((int32_t)x - y) / ((int32_t)1 << n);
        } else {
            held = held + x - (held >> n);
            y = (int32_t)(held >> n);
        }
        printf("%" PRId32 "\n", y);
    }
    return 0;
}
