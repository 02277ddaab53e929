"""Disks that stand in for the real one: in memory, failing on demand, and losing what was not synced."""

from __future__ import annotations

import errno
import os
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from pathlib import Path

from divelog.files import Disk, Form, How, Status

Choose = Callable[[int], int]
"""Picks one of n ways, 0 to n-1."""


def error(number: int, path: object = "") -> OSError:
    """The error the system would raise (of the right class, so that FileExistsError and the like are told apart)."""
    return OSError(number, os.strerror(number), str(path))


@dataclass(eq=False)
class Node:
    """A file, a folder, or something that is neither."""

    number: int
    form: Form
    data: bytearray = field(default_factory=bytearray)
    names: dict[str, Node] = field(default_factory=dict)


@dataclass
class Opened:
    """An open file."""

    node: Node
    how: How
    place: int = 0


class MemoryDisk:
    """A disk in memory that does as it is told."""

    def __init__(self) -> None:
        self._count = 0
        self.root = self._node(Form.FOLDER)
        self._open: dict[int, Opened] = {}
        self._locks: dict[int, int] = {}
        self._next_fd = 1000

    def _node(self, form: Form) -> Node:
        self._count += 1
        return Node(self._count, form)

    def _find(self, path: Path) -> Node | None:
        node = self.root
        for part in path.parts[1:]:
            if node.form is not Form.FOLDER or part not in node.names:
                return None
            node = node.names[part]
        return node

    def _folder(self, path: Path) -> Node:
        node = self._find(path)
        if node is None:
            raise error(errno.ENOENT, path)
        if node.form is not Form.FOLDER:
            raise error(errno.ENOTDIR, path)
        return node

    def _file(self, fd: int) -> Opened:
        if fd not in self._open:
            raise error(errno.EBADF)
        return self._open[fd]

    def put(self, path: Path, form: Form, data: bytes = b"") -> Node:
        """Puts something there from outside, as another program would."""
        node = self._node(form)
        node.data += data
        self._folder(path.parent).names[path.name] = node
        return node

    def open(self, path: Path, how: How) -> int:
        folder = self._folder(path.parent)
        node = folder.names.get(path.name)
        if how is How.CREATE:
            if node is not None:
                raise error(errno.EEXIST, path)
            node = self._node(Form.FILE)
            folder.names[path.name] = node
            self.note_name(folder, path.name, node)
        elif node is None:
            raise error(errno.ENOENT, path)
        elif node.form is not Form.FILE:
            raise error(errno.ELOOP, path)
        self._next_fd += 1
        self._open[self._next_fd] = Opened(node, how)
        return self._next_fd

    def read(self, fd: int, count: int) -> bytes:
        opened = self._file(fd)
        found = bytes(opened.node.data[opened.place : opened.place + count])
        opened.place += len(found)
        return found

    def write(self, fd: int, data: bytes) -> int:
        opened = self._file(fd)
        if opened.how is How.READ:
            raise error(errno.EBADF)
        self.note_write(opened.node, len(opened.node.data), data)
        opened.node.data += data
        return len(data)

    def fsync(self, fd: int) -> None:
        self._file(fd)

    def truncate(self, fd: int, size: int) -> None:
        node = self._file(fd).node
        self.note_cut(node, size)
        del node.data[size:]
        node.data.extend(bytes(size - len(node.data)))

    def status(self, fd: int) -> Status:
        node = self._file(fd).node
        return Status(node.form, len(node.data), (1, node.number))

    def lock(self, fd: int) -> bool:
        node = self._file(fd).node
        holder = self._locks.get(node.number)
        if holder is not None and holder != fd and holder in self._open:
            return False
        self._locks[node.number] = fd
        return True

    def close(self, fd: int) -> None:
        self._file(fd)
        del self._open[fd]

    def look(self, path: Path) -> Status | None:
        node = self._find(path)
        return None if node is None else Status(node.form, len(node.data), (1, node.number))

    def names(self, path: Path) -> list[str]:
        return list(self._folder(path).names)

    def make_folder(self, path: Path) -> None:
        folder = self._folder(path.parent)
        if path.name in folder.names:
            raise error(errno.EEXIST, path)
        node = self._node(Form.FOLDER)
        folder.names[path.name] = node
        self.note_name(folder, path.name, node)

    def replace(self, source: Path, target: Path) -> None:
        old, new = self._folder(source.parent), self._folder(target.parent)
        if source.name not in old.names:
            raise error(errno.ENOENT, source)
        node = old.names.pop(source.name)
        new.names[target.name] = node
        self.note_name(old, source.name, None)
        self.note_name(new, target.name, node)

    def remove(self, path: Path) -> None:
        folder = self._folder(path.parent)
        if path.name not in folder.names:
            raise error(errno.ENOENT, path)
        del folder.names[path.name]
        self.note_name(folder, path.name, None)

    def fsync_folder(self, path: Path) -> None:
        self._folder(path)

    def note_write(self, node: Node, place: int, data: bytes) -> None:
        """A write that the medium may not have yet."""

    def note_cut(self, node: Node, size: int) -> None:
        """A cut that the medium may not have yet."""

    def note_name(self, folder: Node, name: str, node: Node | None) -> None:
        """A name given or taken that the medium may not have yet."""


@dataclass
class Doing:
    """A write (`data`) or cut (no data) at a place of a file; `sure` once the medium has it."""

    place: int
    data: bytes | None
    sure: bool = False
    forgotten: bool = False


class ModelDisk(MemoryDisk):
    """A disk with a power switch: after `crash` only what was synced is certain.

    Unsynced writes may be there, not there, in part, or with zeros in their place, each by itself and in any order;
    unsynced names likewise. What a failed sync left behind is forgotten: no later sync saves it.
    """

    def __init__(self) -> None:
        super().__init__()
        self._writes: dict[int, list[Doing]] = {}
        self._names: dict[int, list[tuple[str, Node | None]]] = {}
        self._sure_names: dict[int, dict[str, Node]] = {}

    def note_write(self, node: Node, place: int, data: bytes) -> None:
        self._writes.setdefault(node.number, []).append(Doing(place, data))

    def note_cut(self, node: Node, size: int) -> None:
        self._writes.setdefault(node.number, []).append(Doing(size, None))

    def note_name(self, folder: Node, name: str, node: Node | None) -> None:
        self._names.setdefault(folder.number, []).append((name, node))

    def fsync(self, fd: int) -> None:
        for doing in self._writes.get(self._file(fd).node.number, []):
            if not doing.forgotten:
                doing.sure = True

    def forget(self, fd: int) -> None:
        """What the system does when a sync fails: reports once, then takes the pages for clean."""
        for doing in self._writes.get(self._file(fd).node.number, []):
            doing.forgotten = doing.forgotten or not doing.sure

    def fsync_folder(self, path: Path) -> None:
        folder = self._folder(path)
        sure = self._sure_names.setdefault(folder.number, {})
        for name, node in self._names.pop(folder.number, []):
            if node is None:
                sure.pop(name, None)
            else:
                sure[name] = node

    def crash(self, choose: Choose) -> None:
        """Power off and on: every file is closed, every lock is free, only the medium counts."""
        self._open.clear()
        self._locks.clear()
        self._settle_folder(self.root, choose)

    def _settle_folder(self, folder: Node, choose: Choose) -> None:
        names = dict(self._sure_names.get(folder.number, {}))
        for name, node in self._names.pop(folder.number, []):
            if choose(2):
                if node is None:
                    names.pop(name, None)
                else:
                    names[name] = node
        folder.names = names
        self._sure_names[folder.number] = dict(names)
        for node in names.values():
            if node.form is Form.FOLDER:
                self._settle_folder(node, choose)
            else:
                self._settle_file(node, choose)

    def _settle_file(self, node: Node, choose: Choose) -> None:
        data = bytearray()
        for doing in self._writes.get(node.number, []):
            if not doing.sure:
                way = choose(4)
                if way == 0:
                    continue
                if doing.data is not None and way == 1:
                    doing = Doing(doing.place, doing.data[: choose(len(doing.data) + 1)])
                elif doing.data is not None and way == 2:
                    doing = Doing(doing.place, bytes(len(doing.data)))
            if doing.data is None:
                del data[doing.place :]
                data.extend(bytes(doing.place - len(data)))
            else:
                data.extend(bytes(max(doing.place - len(data), 0)))
                data[doing.place : doing.place + len(doing.data)] = doing.data
        node.data = data
        self._writes[node.number] = [Doing(0, bytes(data), sure=True)]


@dataclass
class Fault:
    """What goes wrong: the error raised, whether it stays, and for a write how much of it goes in first.

    With `number` none a write is short instead: it says how much went in, as on a full disk.
    """

    number: int | None = errno.EIO
    stays: bool = False
    written: int = 0


class FaultyDisk:
    """Another disk, with faults at the calls chosen; `calls` tells what was asked of it."""

    def __init__(self, inner: Disk) -> None:
        self.inner = inner
        self.calls: list[str] = []
        self._at_call: dict[int, Fault] = {}
        self._at_name: dict[str, Fault] = {}

    def fail_call(self, number: int, fault: Fault) -> None:
        """The n-th call from now, counted from 1, fails; if the fault stays, so do all after it."""
        self._at_call = {len(self.calls) + number: fault}

    def fail_next(self, name: str, fault: Fault) -> None:
        """The next call of that name fails; if the fault stays, so do all after it."""
        self._at_name[name] = fault

    def mend(self) -> None:
        """From here on all is well."""
        self._at_call.clear()
        self._at_name.clear()

    def _fault(self, name: str) -> Fault | None:
        self.calls.append(name)
        fault = self._at_name.get(name)
        if fault is not None:
            if not fault.stays:
                del self._at_name[name]
            return fault
        for number, at_call in self._at_call.items():
            if len(self.calls) == number or (at_call.stays and len(self.calls) > number):
                return at_call
        return None

    def _call(self, name: str, path: object = "") -> None:
        fault = self._fault(name)
        if fault is not None:
            raise error(fault.number if fault.number is not None else errno.EIO, path)

    def open(self, path: Path, how: How) -> int:
        self._call("open", path)
        return self.inner.open(path, how)

    def read(self, fd: int, count: int) -> bytes:
        self._call("read")
        return self.inner.read(fd, count)

    def write(self, fd: int, data: bytes) -> int:
        fault = self._fault("write")
        if fault is None:
            return self.inner.write(fd, data)
        part = data[: fault.written]
        if part:
            self.inner.write(fd, part)
        if fault.number is None:
            return len(part)
        raise error(fault.number)

    def fsync(self, fd: int) -> None:
        fault = self._fault("fsync")
        if fault is None:
            self.inner.fsync(fd)
            return
        if isinstance(self.inner, ModelDisk):
            self.inner.forget(fd)
        raise error(fault.number or errno.EIO)

    def truncate(self, fd: int, size: int) -> None:
        self._call("truncate")
        self.inner.truncate(fd, size)

    def status(self, fd: int) -> Status:
        self._call("status")
        return self.inner.status(fd)

    def lock(self, fd: int) -> bool:
        self._call("lock")
        return self.inner.lock(fd)

    def close(self, fd: int) -> None:
        fault = self._fault("close")
        self.inner.close(fd)  # the descriptor is gone even if the call fails
        if fault is not None:
            raise error(fault.number or errno.EIO)

    def look(self, path: Path) -> Status | None:
        self._call("look", path)
        return self.inner.look(path)

    def names(self, path: Path) -> list[str]:
        self._call("names", path)
        return self.inner.names(path)

    def make_folder(self, path: Path) -> None:
        self._call("make_folder", path)
        self.inner.make_folder(path)

    def replace(self, source: Path, target: Path) -> None:
        self._call("replace", target)
        self.inner.replace(source, target)

    def remove(self, path: Path) -> None:
        self._call("remove", path)
        self.inner.remove(path)

    def fsync_folder(self, path: Path) -> None:
        self._call("fsync_folder", path)
        self.inner.fsync_folder(path)


def contents(disk: Disk, folder: Path) -> Mapping[str, bytes]:
    """Every plain file of a folder by name, read through the disk itself."""
    found: dict[str, bytes] = {}
    for name in disk.names(folder):
        status = disk.look(folder / name)
        if status is not None and status.form is Form.FILE:
            fd = disk.open(folder / name, How.READ)
            found[name] = disk.read(fd, status.size + 1)
            disk.close(fd)
    return found
