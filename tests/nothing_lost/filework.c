/* Loaded before libc: notes what a program does with the files of one folder, and strikes.

   What is noted goes into a file, one record after the other, in the order in which it was done (the
   processes that a program forks share it). At the chosen operation the program is killed, or the
   operation is refused with an error. tests/nothing_lost/filework.py reads and steers this. */
#define _GNU_SOURCE
#include <errno.h>
#include <fcntl.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/syscall.h>
#include <sys/uio.h>
#include <unistd.h>

enum { KILLED = 77 };

/* What counts as an operation: each, names (of folders, brought to the disk too), SQLite's log brought to the disk. */
enum { EACH, NAMES, LOGS };

static char root[4096];
static int notes = -1;
static volatile long left;
static int error, lasting, counted;

struct record {
    char what[8];
    uint64_t file, at;
    uint32_t first, second;
};

void filework_watch(const char *folder, const char *into) {
    snprintf(root, sizeof root, "%s", folder);
    if (notes >= 0) close(notes);
    notes = *into ? (int)syscall(SYS_openat, AT_FDCWD, into,
                                 O_WRONLY | O_CREAT | O_APPEND | O_CLOEXEC, 0600) : -1;
}

/* At the so-manyth operation from now: error 0 kills; lasting refuses all that follow too. */
void filework_strike(long at, int with, int on_and_on, int what_counts) {
    error = with;
    lasting = on_and_on;
    counted = what_counts;
    left = at;
}

/* How many operations are left before the strike. */
long filework_left(void) { return left; }

static int ours(const char *path) {
    size_t length = strlen(root);
    return length && !strncmp(path, root, length) && (path[length] == '/' || !path[length]);
}

static int path_ends(const char *path, const char *end) {
    size_t length = strlen(path), last = strlen(end);
    return length >= last && !strcmp(path + length - last, end);
}

static int ours_by_number_that_ends(int fd, const char *end) {
    char link[64], path[4096];
    if (!root[0]) return 0;
    snprintf(link, sizeof link, "/proc/self/fd/%d", fd);
    ssize_t length = readlink(link, path, sizeof path - 1);
    if (length < 0) return 0;
    path[length] = 0;
    return ours(path) && path_ends(path, end);
}

static int ours_by_number(int fd) { return ours_by_number_that_ends(fd, ""); }

static int met(void) {
    if (left <= 0) return 0;
    long now = __sync_sub_and_fetch(&left, 1);
    if (now > 0) return 0;
    if (!error) _exit(KILLED);
    if (lasting) left = 1;
    errno = error;
    return 1;
}

static int struck(void) { return counted == EACH && met(); }

static int struck_at_name(void) { return counted != LOGS && met(); }

static uint64_t number_of(int fd) {
    struct stat found;
    return fstat(fd, &found) ? 0 : found.st_ino;
}

static uint64_t number_at(const char *path) {
    struct stat found;
    return lstat(path, &found) ? 0 : found.st_ino;
}

static void note(const char *what, uint64_t file, uint64_t at, const void *first, size_t first_length,
                 const void *second, size_t second_length) {
    if (notes < 0) return;
    int kept = errno;
    struct record record = {{0}, file, at, (uint32_t)first_length, (uint32_t)second_length};
    strncpy(record.what, what, sizeof record.what);
    struct iovec parts[] = {{&record, sizeof record}, {(void *)first, first_length},
                            {(void *)second, second_length}};
    syscall(SYS_writev, notes, parts, 3);
    errno = kept;
}

static int opened(int folder, const char *path, int flags, mode_t mode) {
    int watched = ours(path) && (flags & (O_CREAT | O_TRUNC));
    int there = watched && number_at(path);
    if (watched && (!there || flags & O_TRUNC) && struck_at_name()) return -1;
    int fd = (int)syscall(SYS_openat, folder, path, flags, mode);
    if (fd >= 0 && watched) {
        if (!there) note("create", number_of(fd), 0, path, strlen(path), "", 0);
        else if (flags & O_TRUNC) note("cut", number_of(fd), 0, "", 0, "", 0);
    }
    return fd;
}

#define OPENS(name)                                                     \
    int name(const char *path, int flags, ...) {                        \
        va_list more;                                                   \
        va_start(more, flags);                                          \
        mode_t mode = flags & O_CREAT ? (mode_t)va_arg(more, int) : 0;  \
        va_end(more);                                                   \
        return opened(AT_FDCWD, path, flags, mode);                     \
    }
OPENS(open)
OPENS(open64)

#define OPENS_AT(name)                                                  \
    int name(int folder, const char *path, int flags, ...) {            \
        va_list more;                                                   \
        va_start(more, flags);                                          \
        mode_t mode = flags & O_CREAT ? (mode_t)va_arg(more, int) : 0;  \
        va_end(more);                                                   \
        return opened(folder, path, flags, mode);                       \
    }
OPENS_AT(openat)
OPENS_AT(openat64)

ssize_t write(int fd, const void *from, size_t length) {
    int watched = ours_by_number(fd);
    if (watched && struck()) return -1;
    uint64_t at = watched ? (uint64_t)syscall(SYS_lseek, fd, 0, SEEK_CUR) : 0;
    ssize_t done = syscall(SYS_write, fd, from, length);
    if (watched && done > 0) note("write", number_of(fd), at, "", 0, from, (size_t)done);
    return done;
}

static ssize_t written_at(int fd, const void *from, size_t length, off_t at) {
    int watched = ours_by_number(fd);
    if (watched && struck()) return -1;
    ssize_t done = syscall(SYS_pwrite64, fd, from, length, at);
    if (watched && done > 0) note("write", number_of(fd), (uint64_t)at, "", 0, from, (size_t)done);
    return done;
}

ssize_t pwrite(int fd, const void *from, size_t length, off_t at) {
    return written_at(fd, from, length, at);
}
ssize_t pwrite64(int fd, const void *from, size_t length, off_t at) {
    return written_at(fd, from, length, at);
}

static int cut_to(int fd, off_t length) {
    int watched = ours_by_number(fd);
    if (watched && struck()) return -1;
    int done = (int)syscall(SYS_ftruncate, fd, length);
    if (watched && !done) note("cut", number_of(fd), (uint64_t)length, "", 0, "", 0);
    return done;
}

int ftruncate(int fd, off_t length) { return cut_to(fd, length); }
int ftruncate64(int fd, off_t length) { return cut_to(fd, length); }

static int counts_as_synced(int fd) {
    struct stat found;
    if (counted == NAMES) return !fstat(fd, &found) && S_ISDIR(found.st_mode);
    return counted == EACH || ours_by_number_that_ends(fd, "-wal");
}

static int synced(int fd, long call) {
    int watched = ours_by_number(fd);
    if (watched && counts_as_synced(fd) && met()) return -1;
    int done = (int)syscall(call, fd);
    if (watched && !done) note("sync", number_of(fd), 0, "", 0, "", 0);
    return done;
}

int fsync(int fd) { return synced(fd, SYS_fsync); }
int fdatasync(int fd) { return synced(fd, SYS_fdatasync); }

static int named(const char *what, const char *old, const char *new, long done) {
    if (ours(new) && !done) note(what, 0, 0, old, strlen(old), new, strlen(new));
    return (int)done;
}

int rename(const char *old, const char *new) {
    if (ours(new) && struck_at_name()) return -1;
    return named("rename", old, new, syscall(SYS_renameat2, AT_FDCWD, old, AT_FDCWD, new, 0));
}

int renameat(int from, const char *old, int to, const char *new) {
    if (ours(new) && struck_at_name()) return -1;
    return named("rename", old, new, syscall(SYS_renameat2, from, old, to, new, 0));
}

int link(const char *old, const char *new) {
    if (ours(new) && struck_at_name()) return -1;
    return named("link", old, new, syscall(SYS_linkat, AT_FDCWD, old, AT_FDCWD, new, 0));
}

int linkat(int from, const char *old, int to, const char *new, int flags) {
    if (ours(new) && struck_at_name()) return -1;
    return named("link", old, new, syscall(SYS_linkat, from, old, to, new, flags));
}

static int removed(int folder, const char *path, int flags) {
    int watched = ours(path);
    if (watched && struck_at_name()) return -1;
    int done = (int)syscall(SYS_unlinkat, folder, path, flags);
    if (watched && !done) note("remove", 0, 0, path, strlen(path), "", 0);
    return done;
}

int unlink(const char *path) { return removed(AT_FDCWD, path, 0); }
int unlinkat(int folder, const char *path, int flags) { return removed(folder, path, flags); }
int rmdir(const char *path) { return removed(AT_FDCWD, path, AT_REMOVEDIR); }

static int made(int folder, const char *path, mode_t mode) {
    int watched = ours(path);
    if (watched && struck_at_name()) return -1;
    int done = (int)syscall(SYS_mkdirat, folder, path, mode);
    if (watched && !done) note("folder", number_at(path), 0, path, strlen(path), "", 0);
    return done;
}

int mkdir(const char *path, mode_t mode) { return made(AT_FDCWD, path, mode); }
int mkdirat(int folder, const char *path, mode_t mode) { return made(folder, path, mode); }

/* Rights can be struck; a power cut leaves them out. */
static int allowed(int folder, const char *path, mode_t mode) {
    if (ours(path) && struck_at_name()) return -1;
    return (int)syscall(SYS_fchmodat, folder, path, mode);
}

int chmod(const char *path, mode_t mode) { return allowed(AT_FDCWD, path, mode); }
int fchmodat(int folder, const char *path, mode_t mode, int flags) {
    (void)flags;
    return allowed(folder, path, mode);
}

/* What would write past us: whoever meets this copies by writing. */
ssize_t sendfile64(int to, int from, off_t *at, size_t length) {
    (void)to, (void)from, (void)at, (void)length;
    errno = ENOTSOCK;
    return -1;
}
ssize_t copy_file_range(int from, off_t *at, int to, off_t *into, size_t length, unsigned flags) {
    (void)to, (void)from, (void)at, (void)into, (void)length, (void)flags;
    errno = ENOSYS;
    return -1;
}

void filework_say(const char *words) { note("say", 0, 0, words, strlen(words), "", 0); }
