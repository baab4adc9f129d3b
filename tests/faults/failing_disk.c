/* A disk that fails: put before the C library (LD_PRELOAD), it makes the n-th call that changes a file below one folder
   fail, once or from then on. Only the process that calls fault_arm() has it. */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <errno.h>
#include <fcntl.h>
#include <limits.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/types.h>
#include <unistd.h>

static char folder[PATH_MAX];
static int at, error, on_from_there, shortly, count, fired;
static char fired_by[32];

void fault_arm(const char *below, int nth, int number, int stays, int short_writes) {
    snprintf(folder, sizeof folder, "%s", below);
    at = nth; error = number; on_from_there = stays; shortly = short_writes; count = 0; fired = 0; fired_by[0] = 0;
}
int fault_fired(void) { return fired; }
const char *fault_fired_by(void) { return fired_by; }

static int below(const char *path) {
    char full[PATH_MAX];
    if (!at || !path) return 0;
    if (path[0] != '/') {
        if (!getcwd(full, sizeof full)) return 0;
        return strncmp(full, folder, strlen(folder)) == 0;
    }
    return strncmp(path, folder, strlen(folder)) == 0;
}
static int fd_below(int fd) {
    char link[64], path[PATH_MAX];
    if (!at) return 0;
    snprintf(link, sizeof link, "/proc/self/fd/%d", fd);
    ssize_t length = readlink(link, path, sizeof path - 1);
    if (length <= 0) return 0;
    path[length] = 0;
    return path[0] == '/' && below(path);
}
static int fails(const char *call) {
    count++;
    if (count == at || (count > at && on_from_there)) {
        if (!fired) snprintf(fired_by, sizeof fired_by, "%s", call);
        fired = 1;
        errno = error;
        return 1;
    }
    return 0;
}
#define REAL(name) __typeof__(&name) real = (__typeof__(&name)) dlsym(RTLD_NEXT, #name)

#define WRITING(name, offset_type) \
    ssize_t name(int fd, const void *data, size_t size, offset_type offset) { \
        REAL(name); \
        if (fd_below(fd) && fails(#name)) { \
            if (shortly && size > 1 && count == at) return real(fd, data, size / 2, offset); \
            errno = error; return -1; } \
        return real(fd, data, size, offset); }
WRITING(pwrite, off_t)
WRITING(pwrite64, off64_t)

ssize_t write(int fd, const void *data, size_t size) {
    REAL(write);
    if (fd_below(fd) && fails("write")) {
        if (shortly && size > 1 && count == at) return real(fd, data, size / 2);
        errno = error; return -1;
    }
    return real(fd, data, size);
}

#define ON_FD(name, ...) \
    { REAL(name); if (fd_below(fd) && fails(#name)) { errno = error; return -1; } return real(__VA_ARGS__); }
int fsync(int fd) ON_FD(fsync, fd)
int fdatasync(int fd) ON_FD(fdatasync, fd)
int ftruncate(int fd, off_t size) ON_FD(ftruncate, fd, size)
int ftruncate64(int fd, off64_t size) ON_FD(ftruncate64, fd, size)
int fchmod(int fd, mode_t mode) ON_FD(fchmod, fd, mode)

#define ON_PATH(name, path, ...) \
    { REAL(name); if (below(path) && fails(#name)) { errno = error; return -1; } return real(__VA_ARGS__); }
int rename(const char *from, const char *to) ON_PATH(rename, to, from, to)
int renameat(int a, const char *from, int b, const char *to) ON_PATH(renameat, to, a, from, b, to)
int link(const char *from, const char *to) ON_PATH(link, to, from, to)
int linkat(int a, const char *from, int b, const char *to, int flags) ON_PATH(linkat, to, a, from, b, to, flags)
int unlink(const char *path) ON_PATH(unlink, path, path)
int mkdir(const char *path, mode_t mode) ON_PATH(mkdir, path, path, mode)
int chmod(const char *path, mode_t mode) ON_PATH(chmod, path, path, mode)

#define OPENING(name) \
    int name(const char *path, int flags, ...) { \
        REAL(name); \
        va_list more; va_start(more, flags); mode_t mode = (flags & O_CREAT) ? va_arg(more, mode_t) : 0; va_end(more); \
        struct stat there; \
        if ((flags & O_CREAT) && below(path) && stat(path, &there) != 0 && fails(#name)) { errno = error; return -1; } \
        return real(path, flags, mode); }
OPENING(open)
OPENING(open64)
