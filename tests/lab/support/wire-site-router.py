"""Answers ARP for a virtual router's address: the virtual MAC as sender, in frames of the physical port.

wire-site-router.py INTERFACE ADDRESS VIRTUAL_MAC
"""
import socket
import sys

port, address, mac_text = sys.argv[1:4]
mac = bytes.fromhex(mac_text.replace(":", ""))
asked_for = socket.inet_aton(address)
link = socket.socket(socket.AF_PACKET, socket.SOCK_RAW, socket.htons(0x0806))
link.bind((port, 0x0806))
own = link.getsockname()[4]
print("ready", flush=True)
while True:
    frame = link.recv(2048)
    # RFC 826: operation at 20, sender hardware and protocol address at 22 and 28, target protocol address at 38.
    if len(frame) < 42 or frame[20:22] != b"\x00\x01" or frame[38:42] != asked_for or frame[22:28] in (mac, own):
        continue
    link.send(frame[6:12] + own + frame[12:20] + b"\x00\x02" + mac + asked_for + frame[22:32])
