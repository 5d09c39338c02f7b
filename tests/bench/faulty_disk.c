/* A disk that fails at the n-th call below one folder: loaded before the C library, armed by the bench that compiles it. */

#define _GNU_SOURCE
#include <dlfcn.h>
#include <errno.h>
#include <fcntl.h>
#include <limits.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>
#include <sys/types.h>
#include <unistd.h>

static char below[PATH_MAX];
static long fail_at, calls, fired;
static int with, reading, on;

/* Fail the `at`-th call from now on below `folder` with error number `error`: of those that read or those that write, once or from there on. */
void faulty_disk(const char *folder, long at, int error, int reads, int stays) {
    snprintf(below, sizeof below, "%s", folder);
    fail_at = at, with = error, reading = reads, on = stays, calls = fired = 0;
}

/* How many calls have failed. */
long faulty_disk_fired(void) { return fired; }

static int fails(const char *path, int reads) {
    if (!fail_at || reads != reading || strncmp(path, below, strlen(below))) return 0;
    calls++;
    if (calls != fail_at && !(on && calls > fail_at)) return 0;
    fired++;
    errno = with;
    return 1;
}

static int fd_fails(int fd, int reads) {
    char link[64], path[PATH_MAX];
    if (!fail_at) return 0;
    snprintf(link, sizeof link, "/proc/self/fd/%d", fd);
    ssize_t length = readlink(link, path, sizeof path - 1);
    if (length < 0) return 0;
    path[length] = 0;
    return fails(path, reads);
}

#define NEXT(name) ((__typeof__(&name))dlsym(RTLD_NEXT, #name))

#define OPENED(name)                                                                   \
    int name(const char *path, int flags, ...) {                                       \
        va_list more;                                                                  \
        va_start(more, flags);                                                         \
        mode_t mode = va_arg(more, mode_t);                                            \
        va_end(more);                                                                  \
        if (fails(path, (flags & O_ACCMODE) == O_RDONLY)) return -1;                   \
        return NEXT(name)(path, flags, mode);                                          \
    }
OPENED(open)
OPENED(open64)

ssize_t read(int fd, void *into, size_t size) { return fd_fails(fd, 1) ? -1 : NEXT(read)(fd, into, size); }
ssize_t pread(int fd, void *into, size_t size, off_t at) { return fd_fails(fd, 1) ? -1 : NEXT(pread)(fd, into, size, at); }
ssize_t pread64(int fd, void *into, size_t size, off64_t at) { return fd_fails(fd, 1) ? -1 : NEXT(pread64)(fd, into, size, at); }
ssize_t write(int fd, const void *from, size_t size) { return fd_fails(fd, 0) ? -1 : NEXT(write)(fd, from, size); }
ssize_t pwrite(int fd, const void *from, size_t size, off_t at) { return fd_fails(fd, 0) ? -1 : NEXT(pwrite)(fd, from, size, at); }
ssize_t pwrite64(int fd, const void *from, size_t size, off64_t at) { return fd_fails(fd, 0) ? -1 : NEXT(pwrite64)(fd, from, size, at); }
int fsync(int fd) { return fd_fails(fd, 0) ? -1 : NEXT(fsync)(fd); }
int fdatasync(int fd) { return fd_fails(fd, 0) ? -1 : NEXT(fdatasync)(fd); }
int ftruncate(int fd, off_t size) { return fd_fails(fd, 0) ? -1 : NEXT(ftruncate)(fd, size); }
int ftruncate64(int fd, off64_t size) { return fd_fails(fd, 0) ? -1 : NEXT(ftruncate64)(fd, size); }
int rename(const char *from, const char *to) { return fails(from, 0) ? -1 : NEXT(rename)(from, to); }
int mkdir(const char *path, mode_t mode);
int mkdir(const char *path, mode_t mode) { return fails(path, 0) ? -1 : NEXT(mkdir)(path, mode); }
int unlink(const char *path) { return fails(path, 0) ? -1 : NEXT(unlink)(path); }
