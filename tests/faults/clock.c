/* A clock that is wrong by CLOCK_OFF seconds, put before the C library (LD_PRELOAD). */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <stdlib.h>
#include <time.h>

int clock_gettime(clockid_t id, struct timespec *now) {
    int (*real)(clockid_t, struct timespec *) = (int (*)(clockid_t, struct timespec *)) dlsym(RTLD_NEXT, "clock_gettime");
    int answer = real(id, now);
    const char *off = getenv("CLOCK_OFF");
    if (id == CLOCK_REALTIME && off) now->tv_sec += atol(off);
    return answer;
}
