"""Answers ARP questions for one address in a way that no kernel does: late, or by turns.

arp-responder.py INTERFACE ADDRESS MAC DELAY_MS TURN    TURN: every | odd | even (which broadcast questions it answers)
"""
import socket
import sys
import threading

port, address, mac_text, delay_ms, turn = sys.argv[1:6]
mac = bytes.fromhex(mac_text.replace(":", ""))
asked_for = socket.inet_aton(address)
link = socket.socket(socket.AF_PACKET, socket.SOCK_RAW, socket.htons(0x0806))
link.bind((port, 0x0806))
questions = 0
print("ready", flush=True)
while True:
    frame = link.recv(2048)
    # RFC 826: operation at 20, sender hardware and protocol address at 22 and 28, target protocol address at 38.
    if len(frame) < 42 or frame[20:22] != b"\x00\x01" or frame[38:42] != asked_for or frame[22:28] == mac:
        continue
    if frame[0:6] == b"\xff" * 6:
        questions += 1
        if turn != "every" and (questions % 2 == 1) != (turn == "odd"):
            continue
    elif frame[0:6] != mac:
        continue
    answer = frame[6:12] + mac + frame[12:20] + b"\x00\x02" + mac + asked_for + frame[22:32]
    threading.Timer(int(delay_ms) / 1000, link.send, [answer]).start()
